import { createHash, timingSafeEqual } from 'node:crypto';
import type { Socket } from 'node:net';
import type { Aedes, AuthenticateError, Client, ConnectPacket, PublishPacket } from 'aedes';
import type { HandedKey } from '../../gateways/handing-over/handed-key.js';
import { isPassword } from '../../gateways/password.js';
import { coversAny, topicsOfSite, type SiteTopics } from '../../gateways/site-topics.js';
import type { RefusalReason } from '../../storage/gateways/refusal-reasons.js';
import type { SeenLog } from './seen.js';

/** A user and password that only this run's own parts know. */
export interface OwnParts {
  user: string;
  password: string;
}

export interface AdmissionOptions {
  /** Null: only a broker that nobody else than this machine reaches may do without. */
  own: OwnParts | null;
  seen: SeenLog;
  /** A refusal is answered after so long, so that a flood of wrong keys waits for its answers. */
  hold_ms?: number;
}

/** What a client may do: everything, or what the key of its gateway opens. */
type Access = 'everything' | { user: string; hash: string; topics: SiteTopics };

/** Where a connection comes from. */
export interface Arrival {
  address: string;
  /** It came to a loopback address, where no key is needed. */
  open: boolean;
}

/** A topic that nobody hears: messages that are refused go there, acknowledged as MQTT 3.1.1 asks (3.3.5.2). */
const nowhere = '$SYS/refused';
const wrongUserOrPassword = 4;
const notAuthorized = 5;
/** Longer than the 23 letters of MQTT 3.1, as a gateway's user stands before its own name. */
export const longestClientId = 512;

/**
 * Who may connect to the embedded broker, and what they may publish and read. A client that names no user may do
 * everything where only this machine can reach the broker, and nothing elsewhere; one that names a user needs its key.
 */
export class Admission {
  private keys = new Map<string, HandedKey>();
  private readonly arrivals = new WeakMap<Client, Arrival>();
  /** Also of those that are gone: their last messages may still wait to be passed on. */
  private readonly accesses = new WeakMap<Client, Access>();
  private readonly connected = new Set<Client>();
  private readonly hold_ms: number;

  constructor(
    private readonly aedes: Aedes,
    private readonly options: AdmissionOptions,
  ) {
    this.hold_ms = options.hold_ms ?? 500;
    aedes.preConnect = (client, packet, done) => {
      this.look(client, packet);
      done(null, true);
    };
    aedes.authenticate = (client, user, password, done) => {
      this.authenticate(client, user, password).then(
        (refusal) => done(refusal, refusal === null),
        (error: unknown) => done(refusalOf('unknown-user', String(error)), false),
      );
    };
    const { authorizePublish } = aedes;
    aedes.authorizePublish = (client, packet, done) => {
      if (client !== null) this.divert(client, packet);
      if (packet.topic === nowhere) done(null);
      else authorizePublish(client, packet, done);
    };
    aedes.authorizeSubscribe = (client, subscription, done) =>
      done(null, this.mayRead(client, subscription.topic) ? subscription : null);
    // Also what was queued for an earlier connection with a wider key.
    aedes.authorizeForward = (client, packet) => {
      const access = this.accesses.get(client);
      return access === 'everything' || (access !== undefined && coversAny(access.topics.read, packet.topic))
        ? packet
        : null;
    };
    aedes.on('client', (client) => {
      this.connected.add(client);
      this.closeUnlessValid(client);
    });
    aedes.on('clientDisconnect', (client) => this.connected.delete(client));
  }

  /** Takes over the keys as they are now; who came in by one that is not valid any more is disconnected. */
  takeKeys(keys: readonly HandedKey[]): void {
    this.keys = new Map(keys.map((key) => [key.user, key]));
    for (const client of this.connected) this.closeUnlessValid(client);
  }

  /** Hands a connection to the broker. */
  arrive(socket: Socket, arrival: Arrival): Client {
    const client = this.aedes.handle(socket);
    this.arrivals.set(client, arrival);
    return client;
  }

  private closeUnlessValid(client: Client): void {
    const access = this.accesses.get(client);
    if (access === 'everything') return;
    if (access === undefined || this.keys.get(access.user)?.hash !== access.hash) client.close();
  }

  /** Before anything is answered: MQTT 5 is reported, and a gateway's session is kept apart from those of others. */
  private look(client: Client, packet: ConnectPacket): void {
    const { username, clientId } = packet;
    // Coldrounds itself asks for MQTT 5 first and goes on with 3.1.1.
    if (username !== undefined && username === this.options.own?.user) return;
    if (Number(packet.protocolVersion) === 5) this.refuse(client, 'mqtt-5', username);
    // Who knows the name of another's session could otherwise end it, or take what is queued for it.
    else if (username !== undefined && clientId !== '')
      packet.clientId = `${username}/${clientId}`.slice(0, longestClientId);
  }

  private async authenticate(
    client: Client,
    user: string | undefined,
    password: Buffer | undefined,
  ): Promise<AuthenticateError | null> {
    const access = await this.accessOf(client, user || undefined, password ?? Buffer.alloc(0));
    if (typeof access === 'object' || access === 'everything') {
      this.accesses.set(client, access);
      if (access !== 'everything') this.options.seen.letIn(access.user);
      return null;
    }
    this.refuse(client, access, user);
    await new Promise((answer) => setTimeout(answer, this.hold_ms));
    return refusalOf(access);
  }

  private async accessOf(
    client: Client,
    user: string | undefined,
    password: Buffer,
  ): Promise<Access | RefusalReason> {
    const { own } = this.options;
    if (user === undefined) return this.arrivals.get(client)?.open === true ? 'everything' : 'no-key';
    if (own !== null && user === own.user)
      return isSame(password, Buffer.from(own.password)) ? 'everything' : 'wrong-password';
    const key = this.keys.get(user);
    if (key === undefined) return 'unknown-user';
    if (key.hash === null) return 'revoked';
    if (!(await isPassword(password, key.hash))) return 'wrong-password';
    return { user, hash: key.hash, topics: topicsOfSite(key.site) };
  }

  /** A message for which there is no right goes nowhere, and is acknowledged: others of the gateway go on. */
  private divert(client: Client, packet: PublishPacket): void {
    const access = this.accesses.get(client);
    if (access === 'everything') return;
    if (access !== undefined && coversAny(access.topics.publish, packet.topic)) return;
    this.refuse(client, 'other-site', access?.user, packet.topic);
    packet.topic = nowhere;
    // Empty, so that nothing is retained either (MQTT 3.1.1, 3.3.1.3).
    packet.payload = Buffer.alloc(0);
  }

  private mayRead(client: Client, topic: string): boolean {
    const access = this.accesses.get(client);
    if (access === 'everything') return true;
    if (access !== undefined && coversAny(access.topics.read, topic)) return true;
    this.refuse(client, 'reading', access?.user, topic);
    return false;
  }

  private refuse(client: Client, reason: RefusalReason, user: string | undefined, topic?: string): void {
    const gateway = user !== undefined && this.keys.has(user) ? user : null;
    const address = this.arrivals.get(client)?.address ?? 'an unknown address';
    this.options.seen.refused({ reason, gateway, topic, address });
  }
}

function refusalOf(reason: RefusalReason, message: string = reason): AuthenticateError {
  const returnCode =
    reason === 'wrong-password' || reason === 'unknown-user' ? wrongUserOrPassword : notAuthorized;
  return Object.assign(new Error(message), { returnCode }) as AuthenticateError;
}

/** Whether two secrets are the same, in a time that tells nothing of either. */
const isSame = (a: Buffer, b: Buffer): boolean => {
  const digest = (secret: Buffer) => createHash('sha256').update(secret).digest();
  return timingSafeEqual(digest(a), digest(b));
};
