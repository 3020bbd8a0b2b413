import {
  guessPoint,
  pointQuantities,
  sparkplugStreams,
  unitsOf,
  type SparkplugPoint,
} from '@coldrounds/core';
import { BadEntryError, ChangedMeanwhileError } from '../../people/bad-entry.js';
import { personOf, type Identity } from '../../people/identity.js';
import type { FleetUnit } from '../../storage/fleet.js';
import { lockRegistry } from '../../storage/registry/facts.repository.js';
import type { SparkplugRepository } from '../../storage/registry/sparkplug.repository.js';
import type { RegistrationParts } from '../changing/registration.service.js';
import { sameEntry } from '../changing/same-entry.js';
import { entryOf } from '../changing/unit-entry.js';
import { NotKnownError } from '../fleet.service.js';
import type { UnitPath } from '../paths.js';
import { readSpreadsheet, writeCsv, writeWorkbook } from '../table/spreadsheet.js';
import { mostNodes, viewOfNode } from './node-view.js';
import { problemsOf, readPointTable, writePointTable, type PointsOfUnit } from './point-table.js';

export interface SparkplugParts extends RegistrationParts {
  sparkplug: SparkplugRepository;
}

/** Problems of a table that are told. */
const mostProblems = 200;

export interface NodePath {
  group: string;
  edge: string;
  device: string;
}

/** Which metrics of Sparkplug B are which quantities: shown with what is heard, changed by a form or a spreadsheet. */
export class PointsService {
  constructor(private readonly parts: SparkplugParts) {}

  async unit(by: Identity, path: UnitPath) {
    const unit = await this.unitOf(path);
    const nodes = await this.parts.sparkplug.nodes(mostNodes);
    const name = `${path.site}/${path.unit}`;
    return {
      version: await this.parts.registration.unitVersion(unit.id),
      points: (unit.sparkplug ?? []).map(viewOfPoint),
      quantities: quantitiesTaken(unit),
      // What belongs to nobody, or to others, is not for people who are limited to some sites.
      nodes: nodes
        .filter(({ units }) => by.sites === null || units.includes(name))
        .map((node) => ({ ...viewOfNode(node), units: by.sites === null ? node.units : [name] })),
    };
  }

  /** The metrics of a birth, each with what it probably is. */
  async metrics(by: Identity, path: UnitPath, node: NodePath) {
    const unit = await this.unitOf(path);
    const found = await this.parts.sparkplug.node(node);
    const own = found?.units.includes(`${path.site}/${path.unit}`) ?? false;
    if (found === null || (by.sites !== null && !own))
      throw new NotKnownError(`Nothing is heard of ${[node.group, node.edge, node.device].join('/')}.`);
    const numbers = {
      circuits: unit.circuits.map(({ number }) => number),
      modules: unit.modules.map(({ number }) => number),
    };
    return {
      metrics: (found.metrics ?? []).map((metric) => {
        const guess = guessPoint(metric, node.device, numbers);
        return { ...metric, guess: guess && { ...guess, number: guess.number ?? null } };
      }),
    };
  }

  async change(
    by: Identity,
    path: UnitPath,
    points: SparkplugPoint[],
    because: { reason: string; version: number },
  ): Promise<void> {
    const personId = personOf(by);
    await this.parts.database.transaction(async (client) => {
      await lockRegistry(client);
      const unit = await this.parts.registry.unit(path.site, path.unit, client);
      if (unit === null) throw new NotKnownError(`There is no unit ${path.site}/${path.unit}.`);
      if ((await this.parts.registration.unitVersion(unit.id, client)) !== because.version)
        throw new ChangedMeanwhileError('Somebody changed this unit meanwhile. Open it again.');
      const problems = problemsOf(unit, points);
      if (problems.length > 0)
        throw new BadEntryError(
          problems.map(({ place, sentence }) => ({ name: `points.${place}`, reason: sentence })),
        );
      await this.write(client, [{ unit, points }], because.reason, { personId, who: by.name });
    });
    await this.parts.changed();
  }

  /** What a spreadsheet would change; with `reason` it is changed, as a whole or not at all. */
  async table(by: Identity, content: Buffer, reason: string | null) {
    const personId = reason === null ? null : personOf(by);
    const table = readPointTable(await readSpreadsheet(content));
    const told = await this.parts.database.transaction(async (client) => {
      if (reason !== null) await lockRegistry(client);
      const names = [...table.units.keys()].map((name) => name.split('/'));
      const known = new Map(
        (
          await this.parts.registry.named(
            names.map(([site, key]) => ({ site, key })),
            client,
          )
        )
          .filter(({ site }) => by.sites === null || by.sites.includes(site.key))
          .map((unit) => [`${unit.site.key}/${unit.key}`, unit]),
      );
      const { problems } = table;
      const wanted: PointsOfUnit[] = [];
      for (const [name, rows] of table.units) {
        const unit = known.get(name);
        if (unit === undefined) {
          problems.push({ row: rows[0].row, sentence: `There is no unit ${name} in the registry.` });
          continue;
        }
        const points = rows.map(({ point }) => point);
        for (const { place, sentence } of problemsOf(unit, points))
          problems.push({ row: rows[place].row, sentence });
        wanted.push({ unit, points });
      }
      const changed = wanted.filter(({ unit, points }) => !sameEntry(unit.sparkplug ?? [], points));
      if (reason !== null && problems.length > 0)
        throw new BadEntryError([
          {
            name: 'file',
            reason: `has ${problems.length} problems; nothing is written until it is right`,
          },
        ]);
      if (reason !== null && personId !== null)
        await this.write(client, changed, reason, { personId, who: by.name });
      return { rows: table.rows, units: wanted.length, changed: changed.length, problems };
    });
    if (reason !== null) await this.parts.changed();
    const problems = told.problems.sort((a, b) => a.row - b.row);
    return { ...told, problems: problems.slice(0, mostProblems), problemCount: problems.length };
  }

  async export(by: Identity, form: 'csv' | 'xlsx'): Promise<string | Buffer> {
    const table = writePointTable(await this.parts.sparkplug.points(by.sites));
    return form === 'csv' ? writeCsv(table) : writeWorkbook(table);
  }

  private async write(
    client: Parameters<RegistrationParts['registration']['noteAll']>[0],
    wanted: readonly PointsOfUnit[],
    reason: string,
    author: { personId: number; who: string },
  ): Promise<void> {
    await this.parts.sparkplug.write(
      client,
      wanted.map(({ unit, points }) => ({ unitId: unit.id, points })),
    );
    await this.parts.registration.noteAll(
      client,
      wanted.map(({ unit, points }) => ({
        ...{ ...author, kind: 'edit', reason, holdsFrom_s: null },
        ...{ siteId: unit.site.id, unitId: unit.id, subject: `${unit.site.key}/${unit.key}` },
        ...{ before: { ...entryOf(unit), sparkplug: unit.sparkplug ?? [] } },
        after: { ...entryOf(unit), sparkplug: points },
      })),
    );
  }

  private async unitOf({ site, unit: key }: UnitPath): Promise<FleetUnit> {
    const unit = await this.parts.registry.unit(site, key);
    if (unit === null) throw new NotKnownError(`There is no unit ${site}/${key}.`);
    return unit;
  }
}

/** Every quantity that a unit can take, with the units that it may be sent in. */
const quantitiesTaken = ({ circuits, modules }: FleetUnit) =>
  sparkplugStreams.flatMap((stream) => {
    const numbers: (number | null)[] =
      stream === 'circuits'
        ? circuits.map(({ number }) => number)
        : stream === 'backup'
          ? modules.map(({ number }) => number)
          : [null];
    return numbers.flatMap((number) =>
      pointQuantities[stream].map((metric) => ({
        ...{ stream, number, quantity: metric.name },
        units: [...unitsOf({ metric, difference: metric.name === 'superheat-setpoint' })],
      })),
    );
  });

const viewOfPoint = ({ device, number, scale, ...point }: SparkplugPoint) => ({
  ...point,
  device: device ?? '',
  number: number ?? null,
  scale: scale ?? 1,
});
