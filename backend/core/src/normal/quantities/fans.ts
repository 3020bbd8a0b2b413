/** Fans that turn more slowly than this are held back: they follow the pressure of the high side. */
export const fullFans_pct = 95;
/** Slower fans move air by their draught and by leaks as well; below this the law of similarity says nothing. */
const leastShare = 0.1;
/**
 * An air-cooled condenser at full fans: its transfer units, and the air's share of its resistance, whose film goes with the root
 * of the velocity (common practice, no source).
 */
const transferUnits = 1.3;
const ofAir = 0.8;
const film = 0.5;

/**
 * Heat that a condenser gives to the air for each kelvin between condensing and entering air, as a share of that at full
 * fans: the air that passes goes with the speed (law of similarity of fans), what it takes up by effectiveness-NTU.
 * 1 where no speed is sent.
 *
 * @param speed_pct 0 to 100; over that as 100, under 10 as 10
 * @example shareOfFullFans(40) // 0.49
 */
export function shareOfFullFans(speed_pct: number): number {
  if (!Number.isFinite(speed_pct)) return 1;
  const share = shareOf(speed_pct);
  return (share * effectivenessOf(share)) / effectivenessOf(1);
}

const shareOf = (speed_pct: number): number =>
  Number.isFinite(speed_pct) ? Math.min(1, Math.max(leastShare, speed_pct / 100)) : 1;

/** Usual transfer units of an air-cooled condenser whose fans turn so fast. */
export const unitsAtFans = (speed_pct: number): number => unitsOf(shareOf(speed_pct));

/** Exponent of that share over the speed: what one per cent more speed gives, in per cent. */
export function exponentOfFans(speed_pct: number): number {
  const step = 1.02;
  return (
    Math.log(shareOfFullFans(speed_pct * step) / shareOfFullFans(speed_pct / step)) / (2 * Math.log(step))
  );
}

const unitsOf = (share: number): number => transferUnits / ((ofAir * share ** -film + 1 - ofAir) * share);

const effectivenessOf = (share: number): number => -Math.expm1(-unitsOf(share));

interface CondenserAir {
  condenserLeavingTemperature_K: number;
  condenserFanSpeed_pct: number;
}

/** Whether a condenser's approach is the distance of condensing from the air that enters, in which less air shows as a longer one. */
export const isToEnteringAir = (
  machine: { condenser: string },
  { condenserLeavingTemperature_K: leaving_K }: CondenserAir,
): boolean => machine.condenser === 'air' && !Number.isFinite(leaving_K);

/** What a condenser's approach is multiplied by to be that at full fans: 1 but where it is to the air that enters. */
export const toFullFans = (machine: { condenser: string }, at: CondenserAir): number =>
  isToEnteringAir(machine, at) ? shareOfFullFans(at.condenserFanSpeed_pct) : 1;

/** Whether fans that hold the pressure of the high side were held back: only where these are of the condenser, not of a tower. */
export const areHeldBack = (machine: { condenser: string }, at: CondenserAir): boolean =>
  isToEnteringAir(machine, at) && at.condenserFanSpeed_pct < fullFans_pct;
