import { WakeableLoop } from '../../background/wakeable-loop.js';
import { listen } from '../../storage/connection/notifications.js';
import type { GatewayRepository } from '../../storage/gateways/gateway.repository.js';
import { refusalReasons } from '../../storage/gateways/refusal-reasons.js';
import type { Database } from '../../storage/index.js';
import { userOf } from '../site-topics.js';
import { readSeen, writeKeys, type Seen } from './embedded-files.js';
import { handedKey, type HandedKey } from './handed-key.js';
import { reloadMosquitto, writeMosquittoFiles, type OwnUser } from './mosquitto-files.js';

/** Where keys are handed over to. */
export interface HandingOver {
  /** Folder that the embedded broker reads; null: there is no such broker. */
  embedded: string | null;
  /** Folder of Mosquitto's files; null: they are not written. `pidFile`: of the Mosquitto to reload; null: others do. */
  mosquitto: { folder: string; pidFile: string | null; own: OwnUser } | null;
}

export interface KeyKeeperParts {
  database: Database;
  gateways: GatewayRepository;
  to: HandingOver;
  log: (level: 'info' | 'warn', detail: object, line: string) => void;
  /** How often it looks by itself, as a notification may get lost. */
  every_ms?: number;
}

/** The same refusal is not told more often in the log. */
const silence_ms = 3_600_000;

/** Hands the keys of gateways to the broker whenever they change, and takes over what the embedded broker has refused. */
export class KeyKeeper {
  private readonly loop: WakeableLoop;
  private stopListening: (() => Promise<void>) | null = null;
  private readonly toldAt_ms = new Map<string, number>();
  private failing = false;

  constructor(
    private readonly parts: KeyKeeperParts,
    private readonly now_ms: () => number = Date.now,
  ) {
    this.loop = new WakeableLoop(
      () => this.keep(),
      parts.every_ms ?? 5_000,
      (error) => this.failed(error),
    );
  }

  /** Hands over once before it returns, so that a broker does not go by the keys of an earlier run. */
  async start(): Promise<void> {
    if (this.parts.to.embedded === null && this.parts.to.mosquitto === null) return;
    await this.keep().catch((error: unknown) => this.failed(error));
    this.loop.start();
    this.stopListening = listen(this.parts.database.pool, 'coldrounds_gateways', () => this.loop.wake());
  }

  async stop(): Promise<void> {
    await this.stopListening?.();
    await this.loop.stop();
  }

  /** One round: keys out, refusals in. */
  async keep(): Promise<void> {
    const { to, gateways, log } = this.parts;
    const stored = await gateways.keys();
    const keys = stored.map(handedKey);
    const valid = keys.filter(({ hash }) => hash !== null).length;
    if (to.embedded !== null) {
      if (await writeKeys(to.embedded, keys))
        log('info', { keys: valid }, 'keys of gateways handed to the broker');
      await this.takeOver(
        await readSeen(to.embedded),
        new Map(stored.map(({ id, site, number }) => [userOf(site, number), id])),
      );
    }
    if (to.mosquitto !== null) await this.handToMosquitto(to.mosquitto, keys, valid);
    this.failing = false;
  }

  private async handToMosquitto(
    { folder, pidFile, own }: NonNullable<HandingOver['mosquitto']>,
    keys: HandedKey[],
    valid: number,
  ): Promise<void> {
    if (!(await writeMosquittoFiles(folder, own, keys))) return;
    if (pidFile !== null) await reloadMosquitto(pidFile);
    this.parts.log('info', { keys: valid }, "keys of gateways written to Mosquitto's files");
  }

  private async takeOver(seen: Seen, idOf: ReadonlyMap<string, number>): Promise<void> {
    const known = Object.entries(seen.gateways).flatMap(([user, gateway]) => {
      const gatewayId = idOf.get(user);
      return gatewayId === undefined ? [] : [{ gatewayId, ...gateway }];
    });
    const rows = [
      ...known.map(({ gatewayId, refusals }) => ({ gatewayId: gatewayId as number | null, refusals })),
      { gatewayId: null, refusals: seen.strangers },
    ].flatMap(({ gatewayId, refusals }) =>
      refusalReasons.flatMap((reason) => {
        const refusal = refusals[reason];
        return refusal === undefined ? [] : [{ gatewayId, reason, ...refusal }];
      }),
    );
    const grown = await this.parts.gateways.noteSeen(
      known.flatMap(({ gatewayId, connectedAt }) =>
        connectedAt === null ? [] : [{ gatewayId, at: connectedAt }],
      ),
      rows,
    );
    const userWith = new Map([...idOf].map(([user, id]) => [id, user]));
    for (const { gatewayId, reason, count, detail } of grown)
      this.warn(gatewayId === null ? null : (userWith.get(gatewayId) ?? null), reason, count, detail);
  }

  private warn(gateway: string | null, reason: string, count: number, detail: string): void {
    const what = `${gateway} ${reason}`;
    if (this.now_ms() - (this.toldAt_ms.get(what) ?? -Infinity) < silence_ms) return;
    this.toldAt_ms.set(what, this.now_ms());
    this.parts.log('warn', { gateway, reason, count, detail }, 'the broker refused a client');
  }

  /** Said once, not every few seconds while a folder cannot be written or the database is away. */
  private failed(error: unknown): void {
    if (!this.failing) this.parts.log('warn', { err: error }, 'keys of gateways could not be handed over');
    this.failing = true;
  }
}
