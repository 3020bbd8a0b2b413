import { normalQuantities, predictors } from '@coldrounds/core';
import { z } from 'zod';
import { column, maybe, seconds, timeColumn } from '../common.js';
import { findingSubjectSchema, quantitySchema } from './finding.js';

export const evidenceQuerySchema = z.object({
  at: z.iso.datetime({ offset: true }).optional().describe('The finding as it was known then; left out: now'),
});

export const evidenceListQuerySchema = z.object({
  findings: z
    .string()
    .regex(/^\d{1,18}(,\d{1,18}){0,39}$/, 'must be up to 40 numbers of findings, separated by commas')
    .describe('Numbers of findings, separated by commas'),
});

const span = { from_s: seconds, to_s: seconds };
const shares = z.array(z.number()).describe('Fraction of the time in each bin, 0..1');

export const swingEvidenceSchema = z
  .object({
    kind: z.literal('swing'),
    circuit: z.number(),
    time_s: timeColumn,
    superheat_K: column,
    valveOpening_pct: column,
    cycles: z.array(z.object(span)).describe('Cycles of superheat from crest to crest'),
    period_s: maybe,
    amplitude_K: maybe,
    floodbackLimit_K: z.number(),
  })
  .meta({ id: 'SwingEvidence' });

export const distributionEvidenceSchema = z
  .object({
    kind: z.literal('distribution'),
    circuit: z.number(),
    ...span,
    binWidth_K: z.number(),
    from_K: z.array(z.number()).describe('Lower edge of each bin of superheat'),
    share: shares,
    limit_K: z.number(),
    side: z.enum(['under', 'over']),
    beyondFraction: z.number().describe('Fraction of steady running on that side of the limit'),
    steady_s: z.number().describe('Duration of the steady running in the distribution'),
  })
  .meta({ id: 'DistributionEvidence' });

export const standstillEvidenceSchema = z
  .object({
    kind: z.literal('standstill'),
    circuit: z.number(),
    sensor: z.string().nullable(),
    ...span,
    time_s: timeColumn,
    suctionSaturation_K: column,
    dischargeSaturation_K: column,
    suctionTemperature_K: column,
    dischargeTemperature_K: column,
    liquidTemperature_K: column,
    enteringWater_K: column,
    leavingWater_K: column,
    ambient_K: column,
  })
  .meta({ id: 'StandstillEvidence' });

export const startEvidenceSchema = z
  .object({
    kind: z.literal('start'),
    circuit: z.number(),
    startedAt_s: seconds,
    time_s: timeColumn,
    suctionPressure_Pa: column,
    dischargePressure_Pa: column,
  })
  .meta({ id: 'StartEvidence' });

const stopDots = z.object({
  time_s: timeColumn,
  left: column.describe(
    'Share of the difference of the two saturation temperatures that is left after ten minutes',
  ),
});

export const stopsEvidenceSchema = z
  .object({
    kind: z.literal('stops'),
    circuit: z.number(),
    usual: stopDots.describe('Stops while normal was learned'),
    since: stopDots,
    usualLeft: z.number().describe('Median of the usual ones'),
  })
  .meta({ id: 'StopsEvidence' });

export const betweenCircuitsEvidenceSchema = z
  .object({
    kind: z.literal('between-circuits'),
    sensor: z.string(),
    quantity: z.enum(['pressure', 'temperature']),
    circuits: z.array(
      z
        .object({
          circuit: z.number(),
          time_s: timeColumn,
          value: column.describe('In Pa or K, according to `quantity`'),
          running: z.array(z.boolean()),
        })
        .meta({ id: 'ComparedCircuit' }),
    ),
  })
  .meta({ id: 'BetweenCircuitsEvidence' });

export const valveAnswersEvidenceSchema = z
  .object({
    kind: z.literal('valve-answers'),
    sensor: z.string(),
    circuit: z.number().describe('Whose valve steps'),
    other: z.number().describe('The circuit whose sensor is compared'),
    ...span,
    windows: z.number().describe('Windows of two hours that it is based on'),
    lag_s: z.array(z.number()),
    ofOwn: column.describe(
      'Partial correlation of the valve’s steps with what the sensor of its own circuit reads a lag later',
    ),
    ofOther: column.describe('The same of the other circuit’s sensor'),
  })
  .meta({ id: 'ValveAnswersEvidence' });

export const signalEvidenceSchema = z
  .object({
    kind: z.literal('signal'),
    circuit: z.number(),
    sensor: z.string(),
    quantity: z.enum(['pressure', 'temperature']),
    time_s: timeColumn,
    value: column.describe('In Pa or K, according to `quantity`'),
    ambient_K: column,
    evaporating_K: column,
    running: z.array(z.boolean()).describe('Whether the compressor ran at each time'),
  })
  .meta({ id: 'SignalEvidence' });

export const overLoadEvidenceSchema = z
  .object({
    kind: z.literal('over-load'),
    since_s: seconds.describe('When the finding was first seen: points from then on are marked'),
    quantities: z.array(
      z.enum(['superheat', 'subcooling', 'opening', 'condensing']).meta({ id: 'LoadedQuantity' }),
    ),
    circuits: z
      .array(
        z
          .object({
            circuit: z.number(),
            time_s: timeColumn,
            load_pct: column,
            superheat_K: column,
            setpoint_K: column.describe('Superheat setpoint'),
            subcooling_K: column,
            opening_pct: column,
            condensing_K: column,
          })
          .meta({ id: 'LoadedCircuit' }),
      )
      .describe('One point for each window with steady running'),
  })
  .meta({ id: 'OverLoadEvidence' });

export const wearEvidenceSchema = z
  .object({
    kind: z.literal('wear'),
    circuit: z.number(),
    day_s: timeColumn,
    reversals: column.describe('Reversals per day, scaled from the observed time to 24 h'),
    travel_strokes: column,
  })
  .meta({ id: 'WearEvidence' });

const departureDotsSchema = z
  .object({ time_s: timeColumn, x: column, value: column })
  .meta({ id: 'DepartureDots' });

export const departureEvidenceSchema = z
  .object({
    kind: z.literal('departure'),
    circuit: z.number(),
    learnedFrom_s: seconds,
    learnedUntil_s: seconds,
    likeUnits: z
      .number()
      .nullable()
      .describe('Normal is what so many like units do, no past of its own; null: its own past'),
    since_s: seconds.describe('When it was first seen'),
    predictor: z
      .enum(predictors)
      .nullable()
      .describe('What the quantities are drawn over: the load as a share of full load, else in SI units'),
    curves: z.array(
      z
        .object({
          quantity: z
            .enum(normalQuantities)
            .describe('Flows, powers and openings are shares of their highest usual value'),
          z: z.number().describe('Mean departure in standard uncertainties'),
          band: z
            .object({
              x: z.array(z.number()),
              expected: z.array(z.number()),
              low: z.array(z.number()),
              high: z.array(z.number()),
            })
            .describe('19 of 20 normal plateaus lie from low to high'),
          then: departureDotsSchema,
          now: departureDotsSchema,
        })
        .meta({ id: 'DepartureCurve' }),
    ),
  })
  .meta({ id: 'DepartureEvidence' });

export const dischargeEvidenceSchema = z
  .object({
    kind: z.literal('discharge'),
    module: z.number(),
    startedAt_s: seconds,
    time_s: z.array(z.number()).describe('Seconds from the start of the closing'),
    voltage_V: column,
    voltageWhenNew_V: column.describe('Calculated for the module when new, with the same current'),
    capacitance_F: maybe,
    capacitanceWhenNew_F: maybe,
    whenNewFrom: z.enum(['own', 'rated']),
    minimumVoltage_V: z.number(),
  })
  .meta({ id: 'DischargeEvidence' });

export const reserveEvidenceSchema = z
  .object({
    kind: z.literal('reserve'),
    module: z.number(),
    time_s: timeColumn,
    reserve: column,
    now: z.number().nullable().meta({ description: 'As the finding says it; null: not known' }),
    limits: z.array(
      z
        .object({ limit: z.number(), p10_s: seconds, p50_s: seconds, p90_s: seconds })
        .meta({ id: 'ReserveDate' }),
    ),
    suddenAt_s: seconds.nullable(),
  })
  .meta({ id: 'ReserveEvidence' });

export const closingEvidenceSchema = z
  .object({
    kind: z.literal('closing'),
    module: z.number(),
    startedAt_s: seconds,
    time_s: z.array(z.number()).describe('Seconds from the start of the closing'),
    valveOpening_pct: column,
    voltage_V: column,
    minimumVoltage_V: z.number(),
  })
  .meta({ id: 'ClosingEvidence' });

export const lossEvidenceSchema = z
  .object({
    kind: z.literal('power-loss'),
    module: z.number(),
    from_s: seconds,
    to_s: seconds.nullable(),
    circuit: z.number(),
    time_s: timeColumn,
    superheat_K: column,
    valveOpening_pct: column,
    floodbackLimit_K: z.number(),
    restartAt_s: seconds.nullable().describe('When the circuit ran again; null: that was not seen'),
    restartLowest_K: z
      .number()
      .nullable()
      .describe('Lowest superheat in the first ten minutes after the restart'),
    moduleTime_s: timeColumn,
    voltage_V: column,
  })
  .meta({ id: 'LossEvidence' });

export const restingEvidenceSchema = z
  .object({
    kind: z.literal('resting'),
    module: z.number(),
    time_s: timeColumn,
    voltage_V: column,
    current_A: column,
    health: column,
    ratedVoltage_V: z.number(),
    minimumVoltage_V: z.number(),
    floatLimit_A: maybe,
  })
  .meta({ id: 'RestingEvidence' });

export const silenceEvidenceSchema = z
  .object({
    kind: z.literal('silence'),
    ...span,
    width_s: z.number(),
    of: z
      .object({ circuit: maybe, signal: z.string().nullable() })
      .describe('What does not come: a circuit or one signal of it; null: the unit, all signals'),
    circuits: z.array(
      z
        .object({
          circuit: z.number(),
          time_s: timeColumn.describe('Start of each bin that has readings'),
          share: z.array(z.number()).describe('Readings of the bin, as a part of the most that a bin has'),
        })
        .meta({ id: 'HeardCircuit' }),
    ),
  })
  .meta({ id: 'SilenceEvidence' });

export const noEvidenceSchema = z
  .object({ kind: z.literal('none'), reason: z.string().describe('Why there is no picture') })
  .meta({ id: 'NoEvidence' });

/** What the picture of one finding is drawn from: the kind follows from what the finding claims. */
export const evidenceSchema = z
  .object({
    finding: z.string(),
    condition: z.string(),
    subject: findingSubjectSchema,
    claim: z
      .record(z.string(), quantitySchema)
      .describe('Quantities that headline and reasons of the finding name; of those with one name the first'),
    data: z
      .discriminatedUnion('kind', [
        swingEvidenceSchema,
        distributionEvidenceSchema,
        standstillEvidenceSchema,
        startEvidenceSchema,
        signalEvidenceSchema,
        stopsEvidenceSchema,
        betweenCircuitsEvidenceSchema,
        valveAnswersEvidenceSchema,
        overLoadEvidenceSchema,
        wearEvidenceSchema,
        departureEvidenceSchema,
        dischargeEvidenceSchema,
        reserveEvidenceSchema,
        closingEvidenceSchema,
        lossEvidenceSchema,
        restingEvidenceSchema,
        silenceEvidenceSchema,
        noEvidenceSchema,
      ])
      .meta({ id: 'EvidenceData' }),
  })
  .meta({ id: 'FindingEvidence' });

export const evidenceListSchema = z
  .object({ evidence: z.array(evidenceSchema) })
  .meta({ id: 'EvidenceList' });
