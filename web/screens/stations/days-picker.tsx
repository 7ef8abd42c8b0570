/** How many days a list shows. */
import { words } from "../../words/words.ts";

const CHOICES = [1, 3, 7, 14] as const;

export function DaysPicker({ days, onChange }: { readonly days: number; readonly onChange: (days: number) => void }) {
  return (
    <label className="row">
      <span className="quiet">{words.stations.days}</span>
      <select style={{ width: "auto" }} value={days} onChange={(e) => onChange(Number(e.target.value))}>
        {CHOICES.map((choice) => (
          <option key={choice} value={choice}>
            {words.stations.dayCount(choice)}
          </option>
        ))}
      </select>
    </label>
  );
}
