/** C^power, or ln C for a power of 0: the scale on which the fall of capacitance is linear in weighted age. */
export const powerTransform = (value: number, power: number): number =>
  power === 0 ? Math.log(value) : value ** power;

/** The capacitance of a value on that scale; 0 where the line has gone below it. */
export const inversePowerTransform = (value: number, power: number): number =>
  power === 0 ? Math.exp(value) : value > 0 ? value ** (1 / power) : 0;
