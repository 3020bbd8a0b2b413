import {
  cyclePoints,
  phDome,
  refrigerantFacts,
  saturationTemperature,
  statement,
  type CyclePoint,
} from '@coldrounds/core';
import type { CircuitPath } from '../../registry/paths.js';
import type { ReadingRepository } from '../../storage/repositories/readings/reading.repository.js';
import type { FleetService } from '../../registry/fleet.service.js';

const labels: Record<CyclePoint['place'], string> = {
  suction: 'evaporator outlet',
  discharge: 'compressor discharge',
  'condenser-dew': 'condenser, dew point',
  'condenser-bubble': 'condenser, bubble point',
  liquid: 'valve inlet',
  'evaporator-inlet': 'valve outlet',
  'evaporator-dew': 'evaporator, dew point',
};

const words: Record<string, string> = {
  suctionPressure_Pa: 'suction pressure',
  suctionTemperature_K: 'suction temperature',
  dischargePressure_Pa: 'discharge pressure',
  dischargeTemperature_K: 'discharge temperature',
  liquidTemperature_K: 'liquid temperature',
};

const reasons: Record<'missing' | 'wet' | 'out-of-range', (name: string) => string> = {
  missing: (name) => `The cycle cannot be drawn: there is no reading of ${name}.`,
  wet: (name) =>
    `The cycle cannot be drawn: at this ${name} the refrigerant is two-phase, so pressure and temperature do not fix its state.`,
  'out-of-range': (name) => `The cycle cannot be drawn: the ${name} is outside the property table.`,
};

/** The circuit's present cycle in the pressure-enthalpy plane. */
export class CycleService {
  constructor(
    private readonly fleet: FleetService,
    private readonly readings: ReadingRepository,
  ) {}

  async cycle(path: CircuitPath, at_s: number | null) {
    const { unit, circuit } = await this.fleet.circuit(path);
    const { refrigerant } = unit;
    const [latest] = await this.readings.latest([circuit.id], at_s ?? undefined);
    const dome = phDome(refrigerant);
    const line = (points: typeof dome.liquid, side: 'bubble' | 'dew') => ({
      pressure_Pa: points.map(({ pressure_Pa }) => pressure_Pa),
      enthalpy_J_kg: points.map(({ enthalpy_J_kg }) => enthalpy_J_kg),
      temperature_K: temperaturesOf(refrigerant, points, side),
    });
    const base = {
      refrigerant: refrigerantFacts(refrigerant).name,
      at_s: latest?.time_s ?? null,
      bubbleLine: line(dome.liquid, 'bubble'),
      dewLine: line(dome.vapour, 'dew'),
    };
    const nothing = {
      points: [],
      path: { pressure_Pa: [], enthalpy_J_kg: [] },
      refrigeratingEffect_J_kg: null,
      compression_J_kg: null,
    };
    if (latest === undefined) return { ...base, ...nothing, sentences: [statement('No readings yet.')] };
    const cycle = cyclePoints({
      refrigerant,
      suctionPressure_Pa: latest.suctionPressure_Pa ?? NaN,
      suctionTemperature_K: latest.suctionTemperature_K ?? NaN,
      dischargePressure_Pa: latest.dischargePressure_Pa ?? NaN,
      dischargeTemperature_K: latest.dischargeTemperature_K ?? NaN,
      liquidTemperature_K: latest.liquidTemperature_K ?? NaN,
    });
    if (!cycle.drawable) {
      const name = words[cycle.argument] ?? 'state';
      return { ...base, ...nothing, sentences: [statement(reasons[cycle.reason](name))] };
    }
    // The way from valve outlet through the evaporator leads back to suction.
    const closed = [...cycle.points, cycle.points[0]];
    return {
      ...base,
      points: cycle.points.map(({ place, ...point }) => ({ name: place, label: labels[place], ...point })),
      path: {
        pressure_Pa: closed.map(({ pressure_Pa }) => pressure_Pa),
        enthalpy_J_kg: closed.map(({ enthalpy_J_kg }) => enthalpy_J_kg),
      },
      refrigeratingEffect_J_kg: cycle.refrigeratingEffect_J_kg,
      compression_J_kg: cycle.compression_J_kg,
      sentences: [
        statement(
          'Drawn with isenthalpic expansion and no pressure losses; liquid enthalpy is that of saturated liquid at the liquid temperature.',
        ),
      ],
    };
  }
}

function temperaturesOf(
  refrigerant: string,
  points: { pressure_Pa: number }[],
  side: 'bubble' | 'dew',
): number[] {
  const { lowestSaturation_K, highestSaturation_K } = refrigerantFacts(refrigerant).range;
  return points.map(({ pressure_Pa }, index) => {
    // The ends of the line lie on the ends of the table, where rounding may fall outside.
    if (index === 0) return lowestSaturation_K;
    if (index === points.length - 1) return highestSaturation_K;
    return saturationTemperature(refrigerant, pressure_Pa, side);
  });
}
