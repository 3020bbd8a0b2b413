import { describe, expect, it } from 'vitest';
import {
  quantityValues,
  type ChannelValues,
  type NormalQuantity,
} from '../../../normal/quantities/quantities.js';
import type { Channel } from '../../../normal/plateaus/channels.js';
import type { Cause } from '../../cause.js';
import { physicalPatterns } from './physical-patterns.js';
import { only, r134a, saturated, state } from '../sample-channels.js';
import { sensorPatterns } from './sensor-patterns.js';

const dry = r134a();
const wet = r134a('flooded');
const of = (cause: Cause, at: ChannelValues = state, machine = dry) =>
  physicalPatterns(machine, at).find((one) => one.cause === cause)!;

type Effects = Partial<Record<Channel, number>>;
/** Each effect within a hundredth of what is expected, and none besides. */
function expectEffects(found: Effects, expected: Effects): void {
  const within = Object.entries(expected).filter(
    ([channel, value]) => !(Math.abs(found[channel as Channel]! - value) <= 0.01 * Math.abs(value) + 1e-12),
  );
  expect(within.map(([channel, value]) => [channel, found[channel as Channel], value])).toEqual([]);
  expect(Object.keys(found).sort()).toEqual(Object.keys(expected).sort());
}

/** Change of the discharge or suction pressure when its saturation temperature moves from where it is. */
const discharge = (kelvin: number) => saturated(308 + kelvin) - saturated(308);
const suction = (kelvin: number) => saturated(278 + kelvin) - saturated(278);
/** A valve passes opening times the root of its pressure difference (IEC 60534): the opening that passes the same. */
const valve = (pressure_Pa: number) => {
  const difference_Pa = saturated(308) - saturated(278);
  return (-50 * (0.5 * pressure_Pa)) / difference_Pa;
};

/** Half of the resistance is the water's, with velocity to the 0.8 (common practice, no source): at 0.9 of the flow. */
const conductanceAtNineTenths = 1 / (0.5 + 0.5 * 0.9 ** -0.8);
/** Rise of the refrigerant over the side of the water that is held, at a tenth less water, by effectiveness-NTU. */
function riseAtNineTenths(change_K: number, approach_K: number): number {
  const units = (Math.log((change_K + approach_K) / approach_K) * conductanceAtNineTenths) / 0.9;
  return change_K / 0.9 / (Math.exp(units) - 1) - approach_K;
}

/**
 * By effectiveness-NTU: 5 K of water over an approach of 3 K, a kelvin more. Where the liquid's part, which leaves 3 of 8 K,
 * loses transfer units in the same ratio, and where it stays clean.
 */
const liquidAllFouled = (3 / 8) ** (Math.log(9 / 4) / Math.log(8 / 3)) * 9 - 3;
const liquidClean = (1 + 3 / 8) / 2;
const liquidOfFouled = (liquidAllFouled + liquidClean) / 2;

describe('a fouled condenser', () => {
  it('may warm the liquid by as much or more: subcooling does not rise then (SC - of the published fault tables)', () => {
    expect(liquidAllFouled).toBeGreaterThan(0.95);
    const { moves, doubts } = of('condenser-fouled');
    expect(moves.liquidTemperature_K! + doubts.liquidTemperature_K!).toBeGreaterThan(liquidAllFouled);
    expect(moves.liquidTemperature_K! - doubts.liquidTemperature_K!).toBeLessThan(liquidClean);
  });

  it('raises condensing by a kelvin, and with it power by 1/30 of the lift and the discharge by 1.5 K', () => {
    const { moves } = of('condenser-fouled');
    expectEffects(moves, {
      dischargePressure_Pa: discharge(1),
      dischargeTemperature_K: 1.5,
      compressorPower_W: 104_500 / 30,
      compressorLoad_pct: (0.5 * 60) / 30,
      // 5 K of warming, a fifth of it the compressor's, which is a thirtieth more.
      condenserLeavingTemperature_K: (5 * 0.2) / 30,
      valveOpening_pct: valve(discharge(1)),
      liquidTemperature_K: liquidOfFouled,
    });
  });

  it('closes the valve by what keeps opening times the root of the pressure difference', () => {
    const { moves } = of('condenser-fouled');
    const before = saturated(308) - saturated(278);
    const exact = 50 * (Math.sqrt(before / (before + discharge(1))) - 1);
    expect(moves.valveOpening_pct! / exact).toBeCloseTo(1, 1);
  });

  it('is unsure in proportion to what it moves (judgement, no source)', () => {
    expectEffects(of('condenser-fouled').doubts, {
      valveOpening_pct: 0.5 * -valve(discharge(1)),
      dischargeTemperature_K: 0.35,
      compressorPower_W: (0.4 * 104_500) / 30,
      compressorLoad_pct: (0.5 * 60) / 30,
      suctionTemperature_K: 0.15,
      liquidTemperature_K: (liquidAllFouled - liquidClean) / 2 + 0.2,
    });
  });
});

describe('gas in the circuit', () => {
  // Dalton's kelvin, and four tenths of one by the film that vapour must pass through (judgement, no source).
  it('raises pressure, power and discharge temperature as a real rise of condensing does, and the liquid by the film alone', () => {
    const gas = of('gas-in-circuit');
    const fouled = of('condenser-fouled');
    expectEffects(gas.moves, {
      dischargePressure_Pa: discharge(1.4),
      dischargeTemperature_K: 1.4 * 1.5,
      compressorPower_W: (1.4 * 104_500) / 30,
      compressorLoad_pct: (1.4 * 0.5 * 60) / 30,
      condenserLeavingTemperature_K: (1.4 * 5 * 0.2) / 30,
      valveOpening_pct: valve(discharge(1.4)),
      liquidTemperature_K: 0.8 * 0.4,
    });
    // So subcooling rises with approach: by three quarters of it, where fouling leaves it as it was.
    const rises = ({ moves }: { moves: Effects }, kelvin: number) => 1 - moves.liquidTemperature_K! / kelvin;
    expect(rises(gas, 1.4)).toBeGreaterThan(0.7);
    expect(rises(fouled, 1)).toBeLessThan(0.2);
  });

  it('is unsure of its film by three quarters of it (judgement, no source)', () => {
    const [film] = of('gas-in-circuit').jointDoubts!;
    expect(film!.dischargePressure_Pa! / discharge(0.3)).toBeCloseTo(1, 2);
    expect(film!.liquidTemperature_K).toBeCloseTo(0.24, 9);
  });

  it('adds the same pressure at any load, where fouling goes with the heat', () => {
    const low: ChannelValues = {
      ...state,
      enteringWaterTemperature_K: 282,
      dischargePressure_Pa: saturated(303.5),
      condenserLeavingTemperature_K: 302,
    };
    const at = (cause: Cause) =>
      physicalPatterns(dry, low, state).find((one) => one.cause === cause)!.moves.dischargePressure_Pa!;
    // The gas's own pressure, and its film at two fifths of the heat: 0.16 K on top of it.
    const own = Math.log1p(discharge(1) / saturated(303.5)) / Math.log(saturated(304) / saturated(303));
    const both = saturated(303.5 + own + 0.16) - saturated(303.5);
    expect(Math.abs(at('gas-in-circuit') / both - 1)).toBeLessThan(0.01);
    // Two fifths of the heat, so 0.4 K, where a kelvin is a somewhat smaller pressure.
    expect(at('condenser-fouled') / (saturated(303.9) - saturated(303.5))).toBeCloseTo(1, 2);
  });
});

describe('a condenser whose fans hold the pressure', () => {
  const air = r134a('dry-expansion', 'air');
  const noLeaving = { ...state, condenserLeavingTemperature_K: NaN };
  const held = physicalPatterns(air, { ...state, condenserFanSpeed_pct: 60 }).filter(
    ({ form }) => form === 'held-pressure',
  );
  /** What air takes up for each kelvin, by effectiveness-NTU at 1.3 units, four fifths of the resistance its film, which goes with the root. */
  const taken = (share: number) => share * (1 - Math.exp(-1.3 / (share * (0.8 / Math.sqrt(share) + 0.2))));
  /** Fans at 60 % that make up for a kelvin of the 8 K to the air that enters: the slope of that. */
  const faster = ((0.001 * taken(0.6)) / ((taken(0.601) - taken(0.6)) * 8)) * 100;
  const heldBy = (cause: Cause) => held.find((one) => one.cause === cause)!;

  it('has colder liquid with gas, at the same pressure and power but for the flow that is saved', () => {
    const { moves } = heldBy('gas-in-circuit');
    expectEffects(moves, {
      liquidTemperature_K: -1,
      condenserFanSpeed_pct: faster,
      compressorPower_W: -0.009 * 104_500,
      compressorLoad_pct: -0.009 * 60,
      valveOpening_pct: -0.009 * 50,
    });
  });

  it('has warmer liquid with fouling (SC - of the published fault tables), and condensing as it was', () => {
    const { moves } = heldBy('condenser-fouled');
    expect(moves.liquidTemperature_K).toBeGreaterThan(0);
    expect(moves.dischargePressure_Pa).toBeUndefined();
  });

  it('takes back by its fans what a law of 10 % for each kelvin asks for, with fouling as with too little air', () => {
    const following = physicalPatterns(air, { ...noLeaving, condenserFanSpeed_pct: 60 }, undefined, 10);
    const still = physicalPatterns(air, { ...noLeaving, condenserFanSpeed_pct: 60 });
    // Of a kelvin is left what 10 % more speed a kelvin leaves: 1 / (1 + 10 % over what a kelvin takes).
    const left = 1 / (1 + 10 / faster);
    for (const cause of ['condenser-fouled', 'condenser-flow-low'] as const) {
      const [with_, without] = [following, still].map((all) => all.find((one) => one.cause === cause)!.moves);
      expect(with_!.dischargePressure_Pa! / without!.dischargePressure_Pa!).toBeCloseTo(left, 1);
      expect(with_!.condenserFanSpeed_pct! / with_!.compressorPower_W!).toBeCloseTo((10 * 30) / 104_500, 6);
    }
    expect(following.some(({ form }) => form === 'held-pressure')).toBe(false);
  });

  it('shows fouling at slow fans by less than at fast ones, too little air by as much', () => {
    const approach = (fan: number, cause: Cause) => {
      // The same heat: condensing lies the farther over the air the less the fans give, 8 K at full speed.
      const condensing = 300 + (8 * taken(1)) / taken(fan / 100);
      const at = {
        ...noLeaving,
        condenserFanSpeed_pct: fan,
        dischargePressure_Pa: saturated(condensing),
      };
      const full = { ...noLeaving, condenserFanSpeed_pct: 100 };
      const { moves } = physicalPatterns(air, at, full).find((one) => one.cause === cause)!;
      const before = quantityValues(air, at).condenserApproach_K;
      const after = quantityValues(air, {
        ...at,
        dischargePressure_Pa: at.dischargePressure_Pa + moves.dischargePressure_Pa!,
      }).condenserApproach_K;
      return after / before - 1;
    };
    const shrunk = (cause: Cause) => approach(40, cause) / approach(100, cause);
    // NTU / (exp(NTU) - 1) at 40 %, with NTU 2.22: 0.270, at full speed 0.487; a flow counts nearly in full at either.
    expect(shrunk('condenser-fouled')).toBeCloseTo(0.27 / 0.487, 2);
    expect(shrunk('condenser-flow-low')).toBeGreaterThan(0.9);
  });

  it('holds nothing where the fans turn at full speed, or are not sent', () => {
    for (const condenserFanSpeed_pct of [100, NaN])
      expect(
        physicalPatterns(air, { ...state, condenserFanSpeed_pct }).some(
          ({ form }) => form === 'held-pressure',
        ),
      ).toBe(false);
  });
});

describe('a tenth less water in the condenser', () => {
  it('warms it by a ninth more and raises condensing by effectiveness-NTU', () => {
    // 5 K of change and 3 K of approach: e = 5/8, NTU = ln(8/3).
    const rise = riseAtNineTenths(5, 3) + 5 / 9;
    expect(rise).toBeCloseTo(0.574, 3);
    const { moves, doubts } = of('condenser-flow-low');
    expectEffects(moves, {
      condenserFlow_m3_s: -0.0025,
      dischargePressure_Pa: discharge(rise),
      dischargeTemperature_K: 1.5 * rise,
      compressorPower_W: (104_500 * rise) / 30,
      compressorLoad_pct: (30 * rise) / 30,
      condenserLeavingTemperature_K: 5 / 9 + (5 * 0.2 * rise) / 30,
      valveOpening_pct: valve(discharge(rise)),
      liquidTemperature_K: 0.9 * rise,
    });
    expectEffects(doubts, {
      dischargePressure_Pa: discharge(0.3 * rise),
      dischargeTemperature_K: 0.35 * rise,
      compressorPower_W: (0.4 * 104_500 * rise) / 30,
      compressorLoad_pct: (30 * rise) / 30,
      suctionTemperature_K: 0.15 * rise,
      condenserLeavingTemperature_K: 5 / 90,
      liquidTemperature_K: 0.5 * rise,
      valveOpening_pct: 0.5 * -valve(discharge(rise)),
    });
  });

  it('is reckoned with 5 K of water, or 8 K of air, and an approach of 2 K where they are not known', () => {
    const unknown = only({ dischargePressure_Pa: saturated(308) });
    const perLift = 1.2;
    const rise = (change: number) => riseAtNineTenths(change, 2) + change / 9;
    expect(of('condenser-flow-low', unknown).moves.dischargeTemperature_K).toBeCloseTo(perLift * rise(5), 6);
    expect(
      of('condenser-flow-low', unknown, r134a('dry-expansion', 'air')).moves.dischargeTemperature_K,
    ).toBeCloseTo(perLift * rise(8), 6);
    expect(of('condenser-flow-low', unknown).moves.condenserLeavingTemperature_K).toBeCloseTo(5 / 9, 9);
    // Air at ambient temperature stands for what the condenser is cooled by: 305 - 299 = 6 K.
    const ambient = only({
      dischargePressure_Pa: saturated(308),
      condenserLeavingTemperature_K: 305,
      ambientTemperature_K: 299,
    });
    const byAir = of('condenser-flow-low', ambient, r134a('dry-expansion', 'air'));
    expect(byAir.moves.liquidTemperature_K).toBeCloseTo(0.9 * (riseAtNineTenths(6, 3) + 6 / 9), 3);
    // Of water it says nothing: a usual 5 K.
    const byWater = of('condenser-flow-low', ambient);
    expect(byWater.moves.liquidTemperature_K).toBeCloseTo(0.9 * (riseAtNineTenths(5, 3) + 5 / 9), 3);
    // Water that leaves warmer than condensing: 1.3 transfer units.
    const passed = of('condenser-flow-low', {
      ...state,
      condenserLeavingTemperature_K: 310,
      condenserEnteringTemperature_K: 305,
    });
    const units = (1.3 * conductanceAtNineTenths) / 0.9;
    expect(passed.moves.liquidTemperature_K).toBeCloseTo(
      0.9 * (5 / 9 + 5 / 0.9 / Math.expm1(units) - 5 / Math.expm1(1.3)),
      6,
    );
  });
});

describe('a fouled evaporator', () => {
  it('lowers evaporating by a kelvin, and the suction with it; the longer lift takes power', () => {
    const { moves, doubts } = of('evaporator-fouled');
    // 1/30 for the lift, and a hundredth for thinner vapour (judgement, no source).
    const more = 1 / 30 + 0.01;
    expectEffects(moves, {
      suctionPressure_Pa: suction(-1),
      suctionTemperature_K: -1,
      // 1.5 K more rise from 1 K colder suction.
      dischargeTemperature_K: 0.5,
      compressorPower_W: 104_500 * more,
      compressorLoad_pct: 30 * more,
    });
    expectEffects(doubts, {
      suctionTemperature_K: 0.35,
      dischargeTemperature_K: 0.4,
      compressorPower_W: 0.4 * 104_500 * more,
      compressorLoad_pct: 30 * more,
      valveOpening_pct: 0.03 * 50,
    });
  });
});

describe('heat from the water of another circuit', () => {
  const shared = { ...dry, alone: false };
  const found = () => of('circuits-disturb-each-other', state, shared);

  it('raises evaporating by a kelvin, and flow and opening by 3 %, where the compressor runs as before', () => {
    const power = 104_500 * (0.03 - 1 / 30 - 0.01);
    const moves = {
      suctionPressure_Pa: suction(1),
      suctionTemperature_K: 1,
      dischargeTemperature_K: -0.5,
      compressorPower_W: power,
      valveOpening_pct: 1.5,
    };
    expectEffects(found().moves, moves);
    // How far it differs from load to load is judgement, no source.
    expectEffects(
      found().jointDoubts![0],
      Object.fromEntries(Object.entries(moves).map(([channel, move]) => [channel, 0.6 * move])),
    );
    expect(found().eitherWay).toBe(false);
  });

  it('is none where the unit has one circuit', () => {
    expect(of('circuits-disturb-each-other')).toBeUndefined();
  });
});

describe('a tenth less water in the evaporator', () => {
  it('cools it by a ninth more at the same leaving temperature, and moves evaporating by effectiveness-NTU', () => {
    // 5 K of change and 2 K of approach.
    const fall = riseAtNineTenths(5, 2);
    const { moves, doubts } = of('evaporator-flow-low');
    const more = fall / 30 + 0.01 * fall;
    expectEffects(moves, {
      waterFlow_m3_s: -0.002,
      enteringWaterTemperature_K: 5 / 9,
      suctionPressure_Pa: suction(-fall),
      suctionTemperature_K: -fall,
      dischargeTemperature_K: 0.5 * fall,
      compressorPower_W: 104_500 * more,
      compressorLoad_pct: 30 * more,
    });
    expectEffects(doubts, {
      enteringWaterTemperature_K: 5 / 90,
      suctionTemperature_K: 0.06,
      dischargeTemperature_K: 0.4 * Math.abs(fall),
      compressorPower_W: 0.4 * 104_500 * Math.abs(more),
      compressorLoad_pct: 30 * Math.abs(more),
      valveOpening_pct: 1.5 * Math.abs(fall),
    });
  });

  it('is reckoned with 5 K of water and 3 K of approach where they are not known, 1.2 transfer units where they cannot be', () => {
    const unknown = of('evaporator-flow-low', only({}));
    expect(unknown.moves.suctionTemperature_K).toBeCloseTo(-riseAtNineTenths(5, 3), 9);
    expect(unknown.moves.enteringWaterTemperature_K).toBeCloseTo(5 / 9, 9);
    expect(unknown.doubts.suctionTemperature_K).toBeCloseTo(0.09, 9);
    const under = of('evaporator-flow-low', {
      ...state,
      leavingWaterTemperature_K: 277,
      enteringWaterTemperature_K: 282,
    });
    const units = (1.2 * conductanceAtNineTenths) / 0.9;
    // How much of the resistance is the water's moves evaporating by an eighth of the approach, pressure and suction together.
    const [joint] = of('evaporator-flow-low').jointDoubts!;
    expect(joint!.suctionTemperature_K).toBeCloseTo(-2 / 8, 6);
    expect(joint!.suctionPressure_Pa! / suction(-2 / 8)).toBeCloseTo(1, 2);
    expect(under.moves.suctionTemperature_K).toBeCloseTo(
      5 / Math.expm1(1.2) - 5 / 0.9 / Math.expm1(units),
      9,
    );
  });
});

/** Transfer units that 5 % more of the surface add to the standing liquid: 0.35 of the conductance, 130 K of heat over capacity. */
const gained = (change_K: number, approach_K: number) =>
  (0.05 * 0.35 * Math.log((change_K + approach_K) / approach_K) * 130) / change_K;
/** Rise of condensing with that share of the surface less, by effectiveness-NTU. */
const uncovered = (change_K: number, approach_K: number, share: number) =>
  change_K / (Math.exp(Math.log((change_K + approach_K) / approach_K) * (1 - share)) - 1) - approach_K;

describe('too much refrigerant', () => {
  // 5 K of change, 3 K of approach; liquid 3 K over the entering water of 8 K that condensing is over it.
  const fall = 3 * (1 - Math.exp(-gained(5, 3)));
  const up = uncovered(5, 3, 0.05);

  it('stands in the condenser: colder liquid, condensing a fifth of that higher, and less flow for the same cooling', () => {
    expect(fall).toBeCloseTo(1.08, 2);
    expect(up / fall).toBeCloseTo(0.229, 2);
    expectEffects(of('excess-refrigerant').moves, {
      dischargePressure_Pa: discharge(up),
      dischargeTemperature_K: 1.5 * up,
      compressorPower_W: 104_500 * (up / 30 - 0.009 * fall),
      compressorLoad_pct: 60 * ((0.5 * up) / 30 - 0.009 * fall),
      condenserLeavingTemperature_K: (up * 5 * 0.2) / 30,
      valveOpening_pct: valve(discharge(up)) - 50 * 0.009 * fall,
      liquidTemperature_K: -fall,
    });
  });

  it('cools the liquid by less the less room there is down to the water, and never under it', () => {
    const at = (liquid_K: number) =>
      of('excess-refrigerant', { ...state, liquidTemperature_K: liquid_K }).moves.liquidTemperature_K!;
    expect(at(305) / at(303)).toBeCloseTo(5 / 3, 6);
    // Three twentieths of the 8 K are taken to be left where instruments say less, or the impossible.
    expect(at(299)).toBe(at(300 + 0.15 * 8));
    expect(-at(299)).toBeLessThan(0.15 * 8);
  });

  it('cools it in the same ratio to what is left at low load, unlike a wrong thermometer', () => {
    const low: ChannelValues = {
      ...state,
      enteringWaterTemperature_K: 282,
      dischargePressure_Pa: saturated(303.2),
      condenserLeavingTemperature_K: 302,
      liquidTemperature_K: 301,
    };
    const pattern = physicalPatterns(dry, low, state).find(({ cause }) => cause === 'excess-refrigerant')!;
    expect(pattern.moves.liquidTemperature_K!).toBeCloseTo(-(1 - Math.exp(-gained(2, 1.2))), 3);
    const sensor = sensorPatterns(low, state).find(({ channel }) => channel === 'liquidTemperature_K')!;
    expect(sensor.moves.liquidTemperature_K).toBe(1.5);
  });

  it('in a flooded evaporator may stand there instead: the suction is wet, by no more than its superheat', () => {
    const forms = physicalPatterns(wet, state).filter(({ cause }) => cause === 'excess-refrigerant');
    expect(forms.map(({ form }) => form)).toEqual(['in-condenser', 'in-evaporator']);
    expect(forms.reduce((sum, { prior }) => sum + prior, 0)).toBeCloseTo(of('excess-refrigerant').prior, 9);
    expect(forms[1].moves).toMatchObject({ suctionTemperature_K: -0.5, dischargeTemperature_K: -0.6 });
    const nearly = physicalPatterns(wet, { ...state, suctionTemperature_K: 278.4 });
    expect(nearly.find(({ form }) => form === 'in-evaporator')!.moves.suctionTemperature_K).toBeCloseTo(
      -0.2,
      2,
    );
    expect(physicalPatterns(r134a('falling-film'), state)).toEqual(physicalPatterns(wet, state));
  });
});

describe('too little refrigerant', () => {
  it('leaves less liquid standing: it comes warmer, never warmer than it condenses, and condensing falls', () => {
    const units = Math.log(8 / 3);
    const rise = 8 * Math.exp(-(units ** 2) / (units + gained(5, 3))) - 3;
    const { moves } = of('missing-refrigerant');
    expect(moves.liquidTemperature_K!).toBeCloseTo(rise, 6);
    expect(rise).toBeGreaterThan(0.5);
    expect(moves.dischargePressure_Pa! / discharge(uncovered(5, 3, -0.05))).toBeCloseTo(1, 2);
    expect(moves.compressorPower_W! / 104_500).toBeCloseTo(0.009 * rise + uncovered(5, 3, -0.05) / 30, 5);
    const warm = of('missing-refrigerant', { ...state, liquidTemperature_K: 307.8 });
    expect(warm.moves.liquidTemperature_K!).toBeLessThan(0.2);
  });

  it('in a flooded evaporator may uncover tubes instead: evaporating falls and superheat rises', () => {
    const short = physicalPatterns(wet, state).find(
      ({ cause, form }) => cause === 'missing-refrigerant' && form === 'in-evaporator',
    )!;
    expect(short.moves.suctionPressure_Pa! / suction(-0.5)).toBeCloseTo(1, 2);
    expect(short.moves.suctionTemperature_K).toBe(0.1);
    expect(short.moves.dischargeTemperature_K).toBe(0.8);
  });
});

describe('a weak compressor', () => {
  it('takes a tenth more power and load for the same cooling, most of which leaves with the discharge', () => {
    const { moves, doubts } = of('compressor-weak');
    expectEffects(moves, {
      compressorPower_W: 10_450,
      compressorLoad_pct: 6,
      dischargeTemperature_K: 4.5,
      condenserLeavingTemperature_K: 0.1 * 0.2 * 5,
    });
    expectEffects(doubts, {
      compressorLoad_pct: 3.6,
      dischargeTemperature_K: 2.7,
      suctionTemperature_K: 0.2,
      liquidTemperature_K: 0.1,
    });
  });

  it('is unsure of whether it is as much at any load, or as large a share, as where compressors run in stages', () => {
    const half = { ...state, compressorPower_W: 0.5 * state.compressorPower_W };
    const [reference, there] = [state, half].map((at) =>
      physicalPatterns(dry, at, state).find(({ cause }) => cause === 'compressor-weak')!,
    );
    expect(reference.jointDoubts![0]!.compressorPower_W).toBeCloseTo(0, 6);
    // A fifth of half the power, or a tenth of it.
    expect(there.moves.compressorPower_W).toBeCloseTo(10_450, 6);
    expect(there.jointDoubts![0]!.compressorPower_W).toBeCloseTo(-5225, 6);
    expect(there.jointDoubts![0]!.dischargeTemperature_K).toBeCloseTo(-4.5, 6);
  });

  it('is reckoned with 40 K of rise, 5 K of water and 18 % of the heat where they are not known', () => {
    const { moves } = of('compressor-weak', only({}));
    expect(moves.dischargeTemperature_K).toBeCloseTo(4, 9);
    expect(moves.condenserLeavingTemperature_K).toBeCloseTo(0.1 * 0.18 * 5, 9);
  });
});

describe('a restricted liquid line', () => {
  it('opens a valve that has room by 15 %, and moves little else', () => {
    const { moves, doubts } = of('liquid-line-restricted');
    expectEffects(moves, {
      valveOpening_pct: 7.5,
      liquidTemperature_K: -0.02,
      suctionPressure_Pa: suction(-0.02),
      suctionTemperature_K: 0.02,
      dischargeTemperature_K: 0.04,
    });
    expectEffects(doubts, {
      valveOpening_pct: 1.875,
      liquidTemperature_K: 0.05,
      suctionPressure_Pa: suction(0.04),
      suctionTemperature_K: 0.05,
      dischargeTemperature_K: 0.08,
    });
  });

  it('starves a flooded evaporator', () => {
    const { moves, doubts } = of('liquid-line-restricted', state, wet);
    expectEffects(moves, {
      valveOpening_pct: 7.5,
      liquidTemperature_K: -0.3,
      suctionPressure_Pa: suction(-0.4),
      suctionTemperature_K: 0.3,
      dischargeTemperature_K: 0.7,
    });
    expectEffects(doubts, {
      valveOpening_pct: 4,
      liquidTemperature_K: 0.3,
      suctionPressure_Pa: suction(0.3),
      suctionTemperature_K: 0.5,
      dischargeTemperature_K: 0.6,
    });
  });
});

describe('how a cause goes with the load', () => {
  // Two fifths of the heat: a water difference of 2 K for 5 K.
  const low: ChannelValues = {
    ...state,
    enteringWaterTemperature_K: 282,
    valveOpening_pct: 20,
    compressorPower_W: 50_000,
    compressorLoad_pct: 25,
  };
  const at = (cause: Cause) => physicalPatterns(dry, low, state).find((one) => one.cause === cause)!.moves;

  it('is the square of the flow for a restriction, and none for lost steps', () => {
    expect(at('liquid-line-restricted').valveOpening_pct).toBeCloseTo(0.15 * 20 * 0.4 ** 2, 9);
    expect(at('valve-offset').valveOpening_pct).toBe(5);
  });

  // 1/Kv2 = 1/Kvneeded2 - 1/Kvr2: with half the pressure difference the same flow asks for twice the square of Kv.
  it('is more where less pressure difference is left for the same flow, for a restriction', () => {
    const half = state.suctionPressure_Pa + (state.dischargePressure_Pa - state.suctionPressure_Pa) / 2;
    const mild = physicalPatterns(dry, { ...low, dischargePressure_Pa: half }, state).find(
      ({ cause }) => cause === 'liquid-line-restricted',
    )!;
    expect(mild.moves.valveOpening_pct).toBeCloseTo(2 * 0.15 * 20 * 0.4 ** 2, 9);
  });

  it('is none for what leaks back in a compressor, which is a larger share of less power, three tenths at most', () => {
    expect(at('compressor-weak').compressorPower_W).toBeCloseTo(10_450, 6);
    const idle = physicalPatterns(dry, { ...low, compressorPower_W: 20_000 }, state);
    expect(idle.find(({ cause }) => cause === 'compressor-weak')!.moves.compressorPower_W).toBeCloseTo(
      6000,
      6,
    );
  });

  it('is the heat for a fouled evaporator', () => {
    expect(at('evaporator-fouled').suctionTemperature_K).toBeCloseTo(-0.4, 9);
  });
});

describe('a valve that passes other than it counts', () => {
  it('moves its own opening alone after lost steps, either way and by as much at any load', () => {
    const { moves, doubts, eitherWay } = of('valve-offset');
    expect(moves).toEqual({ valveOpening_pct: 5 });
    expect(doubts).toEqual({ suctionTemperature_K: 0.1 });
    expect(eitherWay).toBe(true);
  });

  it('opens less far, by some per cent of the stroke, where a worn seat lets pass besides (judgement, no source)', () => {
    const leak = of('valve-leaks-by');
    expect(leak.moves).toEqual({ valveOpening_pct: -3 });
    expect(leak.eitherWay).toBe(false);
    const low = { ...state, valveOpening_pct: 20 };
    expect(physicalPatterns(dry, low, state).find(({ cause }) => cause === 'valve-leaks-by')!.moves).toEqual(
      leak.moves,
    );
  });

  it('is one of two on one signal that lost steps nine times in ten, where there are two (judgement, no source)', () => {
    const two = { ...dry, valve: { ...dry.valve, motors: 2 } };
    const [offset, unlike] = (['valve-offset', 'tandem-mismatch'] as const).map((cause) =>
      of(cause, state, two),
    );
    expect(unlike!.moves).toEqual(offset!.moves);
    expect(unlike!.prior / offset!.prior).toBeCloseTo(9, 9);
    expect(unlike!.prior + offset!.prior).toBeCloseTo(of('valve-offset').prior, 9);
    expect(of('tandem-mismatch')).toBeUndefined();
  });

  it('is no cause where no opening is sent', () => {
    const none = { ...state, valveOpening_pct: NaN };
    for (const cause of ['valve-offset', 'valve-leaks-by', 'tandem-mismatch'] as const)
      expect(of(cause, none)).toBeUndefined();
  });
});

describe('the state that effects are worked out at', () => {
  it('has a lift of 5 K at least, and 30 K where it is not known', () => {
    const power = (lift: number) =>
      of('condenser-fouled', { ...state, dischargePressure_Pa: saturated(278 + lift) }).moves
        .compressorPower_W;
    expect(power(20)! / (104_500 / 20)).toBeCloseTo(1, 3);
    expect(power(3)).toBeCloseTo(104_500 / 5, 6);
    expect(of('condenser-fouled', only({ compressorPower_W: 900 })).moves.compressorPower_W).toBeCloseTo(
      30,
      9,
    );
  });

  it('warms the discharge by 0.8 to 2 K for a kelvin of lift, 1.2 K where it is not known', () => {
    const perKelvin = (rise: number) =>
      of('condenser-fouled', { ...state, dischargeTemperature_K: 284 + rise }).moves.dischargeTemperature_K;
    expect([perKelvin(20), perKelvin(36), perKelvin(90)].map((value) => Number(value!.toFixed(3)))).toEqual([
      0.8, 1.2, 2,
    ]);
    expect(perKelvin(54)).toBeCloseTo(1.8, 3);
    expect(perKelvin(NaN)).toBe(1.2);
  });

  it('has no change of a pressure that was not sent', () => {
    expect(of('condenser-fouled', only({})).moves.dischargePressure_Pa).toBe(0);
  });
});

/** Sign of what a cause does to a quantity, at one unit of severity; 0 under a thousandth of a kelvin. */
function signsOf(cause: Cause, machine = dry) {
  const { moves } = of(cause, state, machine);
  const moved = { ...state };
  for (const [channel, by] of Object.entries(moves) as [Channel, number][])
    if (Number.isFinite(by)) moved[channel] += by;
  const [before, after] = [quantityValues(machine, state), quantityValues(machine, moved)];
  return (quantity: NormalQuantity) => {
    const change = after[quantity] - before[quantity];
    return Math.abs(change) < 1e-3 ? 0 : Math.sign(change);
  };
}

// Rossi & Braun 1997, HVAC&R Research 3:19 (reference README, "Fault signs"; from memory): fixed orifice, air. With a valve
// that holds superheat its opening takes the place of superheat, and with leaving water that is held the evaporating
// temperature hardly follows the water flow; only signs that hold with both are compared.
describe('the signs of the published fault table', () => {
  const condensing = (cause: Cause, machine = dry) =>
    Math.sign(of(cause, state, machine).moves.dischargePressure_Pa!);

  it('are those of missing refrigerant: Tc -, SC -, dTcond -; flooded, Te -, SH + and Tdis + too', () => {
    const { moves } = of('missing-refrigerant');
    expect(condensing('missing-refrigerant')).toBe(-1);
    expect(signsOf('missing-refrigerant')('subcooling_K')).toBe(-1);
    expect(Math.sign(moves.condenserLeavingTemperature_K!)).toBe(-1);
    // The discharge follows superheat, which the valve holds by opening.
    expect(Math.sign(moves.valveOpening_pct!)).toBe(1);
    const short = physicalPatterns(wet, state).find(
      ({ cause, form }) => cause === 'missing-refrigerant' && form === 'in-evaporator',
    )!;
    expect(Math.sign(short.moves.suctionPressure_Pa!)).toBe(-1);
    expect(short.moves.suctionTemperature_K).toBeGreaterThan(0);
    expect(short.moves.dischargeTemperature_K).toBeGreaterThan(0);
  });

  it('are those of a restricted liquid line: Te -, SH + (the valve opens), SC +, Tdis +', () => {
    for (const machine of [dry, wet]) {
      const { moves } = of('liquid-line-restricted', state, machine);
      expect(Math.sign(moves.suctionPressure_Pa!)).toBe(-1);
      expect(signsOf('liquid-line-restricted', machine)('superheat_K')).toBe(1);
      expect(signsOf('liquid-line-restricted', machine)('subcooling_K')).toBe(1);
      expect(Math.sign(moves.dischargeTemperature_K!)).toBe(1);
      expect(Math.sign(moves.valveOpening_pct!)).toBe(1);
    }
  });

  it('are those of a fouled condenser: Tc +, Tdis +, dTcond +', () => {
    const sign = signsOf('condenser-fouled');
    expect(condensing('condenser-fouled')).toBe(1);
    expect(sign('condenserApproach_K')).toBe(1);
    expect(Math.sign(of('condenser-fouled').moves.dischargeTemperature_K!)).toBe(1);
    expect(sign('condenserDifference_K')).toBe(1);
  });

  it('are those of little water in the evaporator: its difference +', () => {
    expect(signsOf('evaporator-flow-low')('evaporatorDifference_K')).toBe(1);
    expect(signsOf('evaporator-flow-low')('evaporatorFlow_m3_s')).toBe(-1);
  });
});

describe('the prior probability', () => {
  const all = [...physicalPatterns(dry, state), ...sensorPatterns(state)];
  const prior = (cause: Cause) => of(cause).prior;

  it('adds up to one with a twentieth for what is not known, within a sixth', () => {
    const sum = all.reduce((total, one) => total + one.prior, 0.05);
    expect(sum).toBeGreaterThan(1);
    expect(sum).toBeLessThan(1.17);
  });

  it('has fouling of the condenser and missing refrigerant first, a valve that leaks by last (judgement, no source)', () => {
    const order = physicalPatterns(dry, state)
      .map(({ cause }) => cause)
      .sort((a, b) => prior(b) - prior(a));
    expect(order.slice(0, 3)).toEqual(['condenser-fouled', 'missing-refrigerant', 'condenser-flow-low']);
    expect(order.at(-1)).toBe('valve-leaks-by');
    expect(prior('condenser-fouled')).toBeLessThan(0.2);
    expect(prior('missing-refrigerant')).toBeLessThan(0.16);
  });

  it('has a physical cause in one direction, and severities within a factor of ten in two of three cases', () => {
    for (const { cause, eitherWay, severity } of physicalPatterns(dry, state)) {
      expect(eitherWay).toBe(cause === 'valve-offset');
      expect(severity.median).toBeGreaterThanOrEqual(0.7);
      expect(severity.median).toBeLessThanOrEqual(1.5);
      expect(severity.spread).toBeGreaterThanOrEqual(0.8);
      expect(severity.spread).toBeLessThanOrEqual(1.1);
      expect(Math.exp(2 * severity.spread)).toBeLessThan(10);
    }
  });
});

describe('a sensor that reads wrong', () => {
  it('moves alone, either way, by a usual error (common practice, no source)', () => {
    const found = sensorPatterns(state);
    const moved = Object.fromEntries(found.map(({ channel, moves }) => [channel, moves[channel!]]));
    expect(Object.keys(moved)).toHaveLength(12);
    expectEffects(moved, {
      suctionPressure_Pa: 0.03 * saturated(278),
      dischargePressure_Pa: 0.03 * saturated(308),
      suctionTemperature_K: 1.5,
      dischargeTemperature_K: 2,
      liquidTemperature_K: 1.5,
      enteringWaterTemperature_K: 0.7,
      leavingWaterTemperature_K: 0.7,
      condenserEnteringTemperature_K: 0.7,
      condenserLeavingTemperature_K: 0.7,
      waterFlow_m3_s: 0.0014,
      condenserFlow_m3_s: 0.00175,
      compressorPower_W: 5225,
    });
    for (const one of found) {
      expect(one).toMatchObject({ cause: 'sensor-wrong', doubts: {}, eitherWay: true });
      expect(Object.keys(one.moves)).toEqual([one.channel]);
      expect(one.severity).toEqual({ median: 1, spread: 0.9 });
    }
  });

  it('is divided equally among the sensors that were sent', () => {
    const of = (values: Partial<ChannelValues>) => sensorPatterns(only(values));
    expect(of({})).toEqual([]);
    // The opening is the controller's own count, no sensor's.
    expect(of({ valveOpening_pct: 50, compressorLoad_pct: 60 })).toEqual([]);
    const [one] = of({ waterFlow_m3_s: 0.02 });
    const two = of({ waterFlow_m3_s: 0.02, liquidTemperature_K: 300 });
    expect(two.map(({ prior }) => prior)).toEqual([one!.prior / 2, one!.prior / 2]);
    expect(one!.prior).toBeCloseTo(0.14, 9);
  });
});
