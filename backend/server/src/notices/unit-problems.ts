import {
  causeName,
  compareFindings,
  mergeWrongRefrigerant,
  type Statement,
  type Urgency,
} from '@coldrounds/core';
import { diagnosesAsPlanned, findingsAsPlanned, type DeferralReader } from '../decisions/deferral.js';
import { unexplained } from '../findings/attention.js';
import { recorded } from '../findings/recorded.js';
import type { FleetUnit } from '../registry/fleet.js';
import type { Queryable } from '../storage/index.js';
import type { DiagnosisRepository } from '../storage/repositories/findings/diagnosis.repository.js';
import type { FindingRepository } from '../storage/repositories/findings/finding.repository.js';
import type { FleetRepository } from '../storage/repositories/fleet.repository.js';

export interface UnitProblems {
  unit: FleetUnit;
  /** In the order of the round: diagnoses, and findings that none explains. */
  problems: {
    /** What is wrong, and for a diagnosis by which it is seen. */
    sentences: Statement[];
    urgency: Urgency;
    cause: string | null;
  }[];
}

export interface ProblemParts {
  registry: Pick<FleetRepository, 'units'>;
  findings: Pick<FindingRepository, 'openOfUnits'>;
  diagnoses: Pick<DiagnosisRepository, 'openOfUnits'>;
  deferrals: Pick<DeferralReader, 'of'>;
}

/** What is wrong with units, as the round has it: what somebody has put off is only watched. */
export class ProblemReader {
  constructor(private readonly parts: ProblemParts) {}

  async of(unitIds: readonly number[], by?: Queryable): Promise<Map<number, UnitProblems>> {
    const { registry, findings, diagnoses, deferrals } = this.parts;
    const ids = [...new Set(unitIds)];
    const units = await registry.units(ids, by);
    const open = await findings.openOfUnits(ids, by);
    const diagnosed = await diagnoses.openOfUnits(ids, by);
    const deferred = await deferrals.of(ids, by);
    const openOn = byUnit(open);
    const diagnosedOn = byUnit(diagnosed);
    return new Map(
      units.map((unit) => {
        const own = diagnosesAsPlanned(
          (diagnosedOn.get(unit.id) ?? []).map(({ document }) => document),
          deferred,
        );
        const rest = unexplained(
          findingsAsPlanned(
            mergeWrongRefrigerant((openOn.get(unit.id) ?? []).map(recorded), unit.circuits.length),
            deferred,
          ),
          own,
        );
        const problems = [
          ...own.map(({ cause, headline, symptoms, ...diagnosis }) => {
            const seen = (openOn.get(unit.id) ?? []).filter(({ id }) => id === symptoms[0]);
            const isNamed = cause !== 'something-else' || seen.length === 0;
            return {
              ...{ ...diagnosis, condition: cause as string, cause: causeName(cause) },
              sentences: [...(isNamed ? [headline] : []), ...seen.map(({ document }) => document.headline)],
            };
          }),
          ...rest.map((finding) => ({ ...finding, cause: null, sentences: [finding.headline] })),
        ]
          .sort(compareFindings)
          .map(({ sentences, urgency, cause }) => ({ sentences, urgency, cause }));
        return [unit.id, { unit, problems }];
      }),
    );
  }
}

function byUnit<Row extends { unitId: number }>(rows: readonly Row[]): Map<number, Row[]> {
  const groups = new Map<number, Row[]>();
  for (const row of rows) groups.set(row.unitId, [...(groups.get(row.unitId) ?? []), row]);
  return groups;
}
