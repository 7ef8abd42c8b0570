/** How many weeks a report shows, of the numbers it offers. */
type WeekChoiceProps = {
  readonly label: string;
  readonly choices: readonly number[];
  readonly count: number;
  readonly onChoose: (count: number) => void;
};

export function WeekChoice({ label, choices, count, onChoose }: WeekChoiceProps) {
  return (
    <label className="row">
      <span className="quiet">{label}</span>
      <select style={{ width: "auto" }} value={count} onChange={(event) => onChoose(Number(event.target.value))}>
        {choices.map((choice) => (
          <option key={choice} value={choice}>
            {choice}
          </option>
        ))}
      </select>
    </label>
  );
}
