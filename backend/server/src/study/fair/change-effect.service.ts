import { changeEffect, type ChangeRow } from '@coldrounds/core';
import type { FleetService } from '../../registry/fleet.service.js';
import { thinned } from '../../pages/thinned.js';
import type { FigurePieces } from '../figures/kept-figures.js';
import type { StudyRepository } from '../../storage/repositories/study.repository.js';
import type { AskService } from '../ask/ask.service.js';
import type { Member } from '../ask/population.js';
import type { Question } from '../ask/question.js';
import {
  firmwareChanges,
  partChanges,
  registryChanges,
  valveChanges,
  visits,
  type ChangeKind,
  type Changed,
  type MemberChange,
} from './changes.js';
import { chargingChanges, chargingMargin_s } from './charging-changes.js';
import { setpointChanges } from './setpoint-changes.js';
import { pause } from '../thread/while-asked.js';

export interface ChangeQuestion extends Question {
  change: ChangeKind;
  /** Only changes to this word; null: any. */
  became: string | null;
  /** Days looked at before the week of the change, and after it. */
  span_days: number;
}

const day_s = 86_400;
const week_s = 7 * day_s;
/** The first Monday after the epoch. */
const monday_s = 4 * day_s;
/** Circuits or modules without the change that are compared with those of one week: more make the answer slower and no better. */
const mostOthers = 400;

type Span = [number, number];

const ofCircuitsAlone: readonly ChangeKind[] = ['setpoint', 'valve'];
const ofModulesAlone: readonly ChangeKind[] = ['charging'];
const idOf = ({ circuit, module }: Member): number => (circuit ?? module)!.id;

/** What a change did to those that had it, against those that did not, over the same dates. */
export class ChangeEffectService {
  constructor(
    private readonly parts: {
      asking: AskService;
      fleet: FleetService;
      study: StudyRepository;
      days: FigurePieces;
    },
  ) {}

  async effect(question: ChangeQuestion) {
    const members = await this.parts.asking.members(question);
    const all = await this.changes(question, members);
    const mine = new Set(members.map(idOf));
    const wanted = all.filter(
      ({ memberId, at_s, word }) =>
        mine.has(memberId) &&
        at_s >= question.from_s &&
        at_s < question.to_s &&
        (question.became === null || word === question.became),
    );
    const weeks = [...new Set(wanted.map(({ at_s }) => weekOf(at_s)))].sort((a, b) => a - b);
    const words = [
      ...new Set(all.filter(({ memberId }) => mine.has(memberId)).map(({ word }) => word)),
    ].sort();
    const nothing = {
      effect: null,
      notTold: 'too-few' as const,
      changedBy: null,
      othersBy: null,
      units: [0, 0] as [number, number],
    };
    if (weeks.length === 0) return { ...nothing, words, changes: 0, weeks: 0, earlier: null };
    const rows = await this.rows(question, members, wanted, all, weeks);
    const effect = changeEffect(rows.around);
    // Pages of others are answered between the two.
    await pause();
    return {
      ...effect,
      words,
      changes: wanted.length,
      weeks: weeks.length,
      // The same over the time before: where both already moved unlike, the change is not what moved them.
      earlier: changeEffect(rows.before).effect,
    };
  }

  /** At any time, or of what is found in telemetry, near enough to the time asked of to matter. */
  private async changes(
    { of: asked, change, from_s, to_s, span_days }: ChangeQuestion,
    members: readonly Member[],
  ): Promise<MemberChange[]> {
    const { fleet, study, days } = this.parts;
    const { units } = await fleet.fleet();
    const of: Changed = asked === 'modules' ? 'modules' : 'circuits';
    if ((of === 'modules' ? ofCircuitsAlone : ofModulesAlone).includes(change)) return [];
    const made: Record<ChangeKind, () => Promise<MemberChange[]>> = {
      firmware: async () => firmwareChanges(units, await study.registrySteps(), of),
      valve: async () => valveChanges(units, await study.registrySteps()),
      registry: async () => registryChanges(units, await study.registrySteps(), of),
      part: async () => partChanges(units, await study.changedParts(), of),
      visit: async () => visits(units, await study.closedVisits(), of),
      setpoint: () =>
        setpointChanges(
          days,
          members.map(({ circuit }) => circuit!.id),
          from_s - 2 * span_days * day_s,
          to_s,
        ),
      charging: async () =>
        chargingChanges(
          members,
          await study.selfTestVoltages(
            from_s - 2 * span_days * day_s - chargingMargin_s,
            to_s + chargingMargin_s,
          ),
        ),
    };
    return made[change]();
  }

  private async rows(
    question: ChangeQuestion,
    members: readonly Member[],
    wanted: readonly MemberChange[],
    all: readonly MemberChange[],
    weeks: readonly number[],
  ): Promise<{ around: ChangeRow[]; before: ChangeRow[] }> {
    const span_s = question.span_days * day_s;
    const spans = weeks.flatMap((week): Span[] => [
      [week - 2 * span_s, week - span_s],
      [week - span_s, week],
      [week + week_s, week + week_s + span_s],
    ]);
    const { figures } = await this.parts.asking.figures(question, members, [question.quantity], spans);
    const figure = figures.get(question.quantity)!;
    const placeOf = new Map(members.map((member, place) => [idOf(member), place]));
    const changes = all.flatMap(({ memberId, at_s }) => {
      const place = placeOf.get(memberId);
      return place === undefined ? [] : [{ place, at_s }];
    });
    const changedIn = new Map<number, Set<number>>();
    for (const { memberId, at_s } of wanted)
      changedIn.set(weekOf(at_s), (changedIn.get(weekOf(at_s)) ?? new Set()).add(placeOf.get(memberId)!));
    const unitOf = members.map(({ unit }) => String(unit.id));
    const around: ChangeRow[] = [];
    const before: ChangeRow[] = [];
    weeks.forEach((week, index) => {
      const [start_s, end_s] = [week - 2 * span_s, week + week_s + span_s];
      const moved = new Uint8Array(members.length);
      for (const { place, at_s } of changes) if (at_s >= start_s && at_s < end_s) moved[place] = 1;
      const still: number[] = [];
      for (let place = 0; place < moved.length; place++) if (moved[place] === 0) still.push(place);
      const cohort = String(week);
      for (const [places, changed] of [
        [[...changedIn.get(week)!].sort((a, b) => a - b), true],
        [thinned(still, mostOthers), false],
      ] as const)
        for (const place of places) {
          const earlier = figure(3 * index, place);
          const own = figure(3 * index + 1, place);
          const after = figure(3 * index + 2, place);
          const row = { unit: unitOf[place]!, cohort, changed };
          if (!Number.isNaN(own + after)) around.push({ ...row, before: own, after });
          if (!Number.isNaN(earlier + own)) before.push({ ...row, before: earlier, after: own });
        }
    });
    return { around, before };
  }
}

/** Monday of the week in which a moment lies. */
const weekOf = (time_s: number): number => Math.floor((time_s - monday_s) / week_s) * week_s + monday_s;
