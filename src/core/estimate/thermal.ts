/**
 * First-order heating and cooling: dT(t) = dT0 exp(-t / tau). Minutes and kelvin.
 * Equilibrium after IEC 60034-1: the rise changes by no more than 2 K in an hour (edition 12, 2010; later wording gives the
 * same slope per half hour).
 */

/** Minutes until a difference of `fromKelvin` has shrunk to `toKelvin`; 0 when it is not larger. */
export const minutesToDecay = (tauMinutes: number, fromKelvin: number, toKelvin: number): number =>
  fromKelvin <= toKelvin ? 0 : tauMinutes * Math.log(fromKelvin / toKelvin);

/** Share of the final rise reached after a time. */
export const shareHeated = (minutes: number, tauMinutes: number): number => 1 - Math.exp(-minutes / tauMinutes);

/** Largest remaining rise at which the gradient is at most 2 K/h: dT / tau <= 2 / 60 K per minute. */
export const remainderAtEquilibriumKelvin = (tauMinutes: number): number => (2 / 60) * tauMinutes;

/** Minutes to thermal equilibrium from a step of `stepKelvin`. */
export const minutesToEquilibrium = (tauMinutes: number, stepKelvin: number): number =>
  minutesToDecay(tauMinutes, Math.abs(stepKelvin), remainderAtEquilibriumKelvin(tauMinutes));
