import { seesSite, type Identity } from '../../people/identity.js';
import type { FleetUnit } from '../../registry/fleet.js';
import { NotKnownError, type FleetService } from '../../registry/fleet.service.js';
import type {
  FindingRepository,
  StoredFinding,
} from '../../storage/repositories/findings/finding.repository.js';
import { distribution, overLoad, swing, wear } from './circuit-evidence.js';
import {
  circuitOf,
  claimOf,
  moduleOf,
  nothing,
  type EvidenceContext,
  type EvidenceSources,
} from './evidence-context.js';
import { departure } from './departure-evidence.js';
import { closing, discharge, powerLoss, reserve, resting } from './module-evidence.js';
import { signal, standstill, start } from './sensor-evidence.js';
import { betweenCircuits, stops } from './standing-evidence.js';
import { silence } from './unit-evidence.js';

const ofCircuit = {
  hunting: swing,
  'floodback-risk': (context: EvidenceContext) => distribution(context, 'under'),
  starved: (context: EvidenceContext) => distribution(context, 'over'),
  'superheat-below-zero': (context: EvidenceContext) => distribution(context, 'under', 0),
  headroom: (context: EvidenceContext) => overLoad(context, ['superheat']),
  'superheat-off-setpoint': (context: EvidenceContext) => overLoad(context, ['superheat']),
  'valve-at-limit': (context: EvidenceContext) => overLoad(context, ['opening', 'superheat']),
  'undercharge-suspected': (context: EvidenceContext) =>
    overLoad(context, ['opening', 'subcooling', 'superheat']),
  'condenser-fouling-suspected': (context: EvidenceContext) => overLoad(context, ['condensing'], true),
  'valve-wear': wear,
  'departs-from-normal': departure,
  'sensor-bias': standstill,
  'gauge-taken-for-absolute': standstill,
  'wrong-refrigerant': standstill,
  'transducers-swapped': start,
  'swapped-between-circuits': betweenCircuits,
  'pressures-meet-fast': stops,
  'sensor-loose': (context: EvidenceContext) => signal(context, 'loose'),
  'readings-impossible': (context: EvidenceContext) => signal(context, 'stretch'),
  'sensor-misplaced': (context: EvidenceContext) => signal(context, 'stretch'),
  'value-frozen': (context: EvidenceContext) => signal(context, 'stretch'),
  'value-clipped': (context: EvidenceContext) => signal(context, 'stretch'),
  'value-noisy': (context: EvidenceContext) => signal(context, 'samples'),
  'value-jumping': (context: EvidenceContext) => signal(context, 'jump'),
};

const ofModule = {
  'cannot-close': discharge,
  'weak-cell': discharge,
  'reserve-fading': reserve,
  'sudden-loss': reserve,
  'did-not-shut': closing,
  'closing-unproven': closing,
  'floodback-at-restart': powerLoss,
  'charger-low': resting,
  'leaking-charge': resting,
  'health-fault': resting,
  'health-contact-stuck': resting,
};

/** Telemetry that does not come, or not all of it. */
const ofSilence = new Set(['no-telemetry', 'missing-telemetry', 'incomplete-telemetry']);

const notDrawn = async () => nothing('There is no picture of this kind of finding.');

/** The data that a finding's own picture is drawn from: the time that shows it, not the running one. */
function drawn(context: EvidenceContext) {
  const { condition } = context.finding;
  if (ofSilence.has(condition)) return silence(context);
  if (condition in ofCircuit && circuitOf(context) !== null)
    return ofCircuit[condition as keyof typeof ofCircuit](context);
  if (condition in ofModule && moduleOf(context) !== null)
    return ofModule[condition as keyof typeof ofModule](context);
  return notDrawn();
}

export interface EvidenceParts extends EvidenceSources {
  fleet: FleetService;
  findings: FindingRepository;
}

/** As many pictures as a few people look through at a time. */
const mostKept = 500;

/** Evidence of findings, on demand and of bounded size; kept until the finding is judged anew. */
export class EvidenceService {
  private readonly kept = new Map<string, ReturnType<typeof drawn>>();

  constructor(
    private readonly parts: EvidenceParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  /** As the finding is now, or as it was known at a moment. */
  async of(id: string, at_s: number | null = null) {
    const { findings, fleet } = this.parts;
    const [stored, { units }] = await Promise.all([
      at_s === null ? findings.one(id) : findings.oneAt(id, at_s),
      fleet.fleet(),
    ]);
    const unit = units.find((entry) => entry.id === stored?.unitId);
    if (stored === null || unit === undefined) throw new NotKnownError(`There is no finding ${id}.`);
    return this.evidence(stored, unit, at_s ?? this.now_s());
  }

  /** The same of some findings as they are now; left out are those that are not there, not to be seen, or cannot be drawn. */
  async several(ids: readonly string[], viewer: Pick<Identity, 'sites'>) {
    const { findings, fleet } = this.parts;
    const [stored, { units }] = await Promise.all([findings.several(ids), fleet.fleet()]);
    const byId = new Map(units.map((unit) => [unit.id, unit]));
    const drawn = await Promise.allSettled(
      stored.flatMap((finding) => {
        const unit = byId.get(finding.unitId);
        if (unit === undefined || !seesSite(viewer, unit.site.key)) return [];
        return [this.evidence(finding, unit, this.now_s())];
      }),
    );
    return { evidence: drawn.flatMap((each) => (each.status === 'fulfilled' ? [each.value] : [])) };
  }

  private async evidence(stored: StoredFinding, unit: FleetUnit, now_s: number) {
    const finding = stored.document;
    return {
      finding: stored.id,
      condition: finding.condition,
      subject: finding.subject,
      claim: claimOf(finding),
      data: await this.dataOf(stored, { sources: this.parts, unit, finding, now_s }),
    };
  }

  private dataOf({ id, updatedAt }: StoredFinding, context: EvidenceContext) {
    // Silence grows without being judged.
    if (ofSilence.has(context.finding.condition)) return drawn(context);
    const key = `${id} ${updatedAt.getTime()}`;
    const before = this.kept.get(key);
    if (before) return before;
    const made = drawn(context);
    this.kept.set(key, made);
    if (this.kept.size > mostKept) this.kept.delete(this.kept.keys().next().value!);
    // What failed is tried again.
    made.catch(() => this.kept.delete(key));
    return made;
  }
}
