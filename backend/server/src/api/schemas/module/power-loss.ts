import { z } from 'zod';
import { column, maybe, seconds, timeColumn } from '../common.js';
import { statementSchema } from '../round/finding.js';

export const circuitLossReviewSchema = z
  .object({
    circuit: z.number(),
    openingBefore_pct: maybe,
    openingAfter_pct: maybe,
    suctionPressureBefore_Pa: maybe,
    dischargePressureBefore_Pa: maybe,
    pressureHalved_s: maybe.describe('Time until the difference between high and low side was halved'),
    pressureMet_s: maybe.describe('Time until the difference was below 5 %'),
    refrigerantPassedAtMost_kg: maybe.describe(
      'Upper bound from the orifice equation and, where the registry has it, the charge; null: not known',
    ),
    wholeChargeCanHavePassed: z
      .boolean()
      .describe('Whether the charge, and not the orifice, limits that bound'),
    restartAt_s: seconds.nullable(),
    restartLeastSuperheat_K: maybe.describe('Lowest superheat in the first ten minutes after the restart'),
    restartUnderFloodback_s: maybe.describe('Time below the floodback limit in those ten minutes'),
  })
  .meta({ id: 'CircuitLossReview' });

export const powerLossSchema = z
  .object({
    module: z.number(),
    from_s: seconds,
    to_s: seconds.nullable().describe('null: mains still off at the last reading'),
    duration_s: maybe,
    closingSent: z.boolean(),
    shut: z.boolean().nullable(),
    openingBefore_pct: maybe,
    openingAfter_pct: maybe,
    timeToShut_s: maybe,
    voltageBefore_V: maybe,
    voltageAfter_V: maybe,
    energyUsed_J: maybe,
    circuits: z.array(circuitLossReviewSchema),
    outcome: z.enum(['shut', 'did-not-shut', 'floodback-at-restart', 'unknown']),
    verdict: statementSchema,
    caution: statementSchema,
  })
  .meta({ id: 'PowerLoss' });

export const powerLossListSchema = z
  .object({ powerLosses: z.array(powerLossSchema).describe('Newest first') })
  .meta({ id: 'PowerLossList' });

export const powerLossReplaySchema = z
  .object({
    powerLoss: powerLossSchema,
    closing: z
      .object({ time_s: timeColumn, voltage_V: column, current_A: column, valveOpening_pct: column })
      .nullable()
      .describe('Finely sampled; null: none was sent'),
    circuits: z
      .array(
        z
          .object({
            circuit: z.number(),
            time_s: timeColumn,
            superheat_K: column,
            valveOpening_pct: column,
            suctionPressure_Pa: column,
            dischargePressure_Pa: column,
            compressorLoad_pct: column,
            floodbackLimit_K: z.number(),
          })
          .meta({ id: 'CircuitReplay' }),
      )
      .describe('From ten minutes before the loss to thirty minutes after the mains came back'),
    backup: z.object({ time_s: timeColumn, voltage_V: column, mains: column }),
  })
  .meta({ id: 'PowerLossReplay' });
