import { createServer, type AddressInfo, type Socket } from 'node:net';
import { generate, parser, type IPublishPacket, type Packet } from 'mqtt-packet';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { AcknowledgingClient, type HeldMessage } from './acknowledging-client.js';

/** A broker of a few lines whose every packet the test decides. */
class ScriptedBroker {
  readonly received: Packet[] = [];
  readonly sockets: Socket[] = [];
  refuseVersion5 = false;
  version = 5;
  private readonly server = createServer((socket) => this.accept(socket));

  async start(): Promise<string> {
    await new Promise<void>((resolve) => this.server.listen(0, '127.0.0.1', resolve));
    return `mqtt://127.0.0.1:${(this.server.address() as AddressInfo).port}`;
  }

  async stop(): Promise<void> {
    for (const socket of this.sockets) socket.destroy();
    await new Promise((resolve) => this.server.close(resolve));
  }

  send(packet: Packet): void {
    this.sockets.at(-1)!.write(generate(packet, { protocolVersion: this.version }));
  }

  publish(messageId: number, payload = 'x'): void {
    this.send({
      cmd: 'publish',
      topic: 'a',
      payload,
      qos: 1,
      messageId,
      dup: false,
      retain: false,
    } as IPublishPacket);
  }

  acknowledged(): number[] {
    return this.received.flatMap((packet) => (packet.cmd === 'puback' ? [packet.messageId!] : []));
  }

  private accept(socket: Socket): void {
    this.sockets.push(socket);
    const incoming = parser();
    socket.on('error', () => {});
    socket.on('data', (data: Buffer) => incoming.parse(data));
    incoming.on('packet', (packet) => {
      this.received.push(packet);
      if (packet.cmd === 'connect') {
        this.version = packet.protocolVersion!;
        if (this.version === 5 && this.refuseVersion5) {
          socket.end(
            generate({ cmd: 'connack', returnCode: 1, sessionPresent: false }, { protocolVersion: 4 }),
          );
          return;
        }
        this.send({ cmd: 'connack', reasonCode: 0, returnCode: 0, sessionPresent: this.sockets.length > 1 });
      }
      if (packet.cmd === 'subscribe') {
        this.send({ cmd: 'suback', messageId: packet.messageId, granted: packet.subscriptions.map(() => 1) });
      }
    });
  }
}

const until = async (condition: () => boolean) => {
  for (let i = 0; i < 500 && !condition(); i++) await new Promise((resolve) => setTimeout(resolve, 10));
  expect(condition()).toBe(true);
};
const pause = () => new Promise((resolve) => setTimeout(resolve, 100));

describe('a client that acknowledges after storing', () => {
  let broker: ScriptedBroker;
  let client: AcknowledgingClient;
  let taken: HeldMessage[];
  let details: string[];
  let room: Promise<void> | null;

  const start = async (options: Partial<ConstructorParameters<typeof AcknowledgingClient>[0]> = {}) => {
    const url = await broker.start();
    client = new AcknowledgingClient(
      {
        url,
        clientId: 'c',
        protocol: 'auto',
        topics: ['a/#'],
        receiveMaximum: 7,
        sessionExpiry_s: 60,
        ...options,
      },
      {
        onMessage: (message) => {
          taken.push(message);
          return room;
        },
        onState: (state) => details.push(state.detail),
      },
    );
    client.start();
    await until(() => details.some((detail) => detail.startsWith('Connected')));
  };

  beforeEach(() => {
    broker = new ScriptedBroker();
    taken = [];
    details = [];
    room = null;
  });
  afterEach(async () => {
    await client.stop();
    await broker.stop();
  });

  it('takes message after message without an acknowledgement, and acknowledges the one that it is told to', async () => {
    await start();
    for (const id of [1, 2, 3]) broker.publish(id);
    await until(() => taken.length === 3);
    await pause();
    expect(broker.acknowledged()).toEqual([]);
    taken[0].acknowledge();
    taken[1].acknowledge();
    await until(() => broker.acknowledged().length === 2);
    expect(broker.acknowledged()).toEqual([1, 2]);
  });

  it('keeps a session and bounds what a broker of MQTT 5 may send', async () => {
    await start();
    expect(broker.received[0]).toMatchObject({
      protocolVersion: 5,
      clean: false,
      properties: { receiveMaximum: 7, sessionExpiryInterval: 60 },
    });
  });

  it('reads no further while its taker is full', async () => {
    await start();
    let makeRoom = () => {};
    room = new Promise((resolve) => (makeRoom = resolve));
    broker.publish(1);
    broker.publish(2);
    await until(() => taken.length === 1);
    await pause();
    expect(taken).toHaveLength(1);
    room = null;
    makeRoom();
    await until(() => taken.length === 2);
  });

  it('drops acknowledgements of a connection that is gone', async () => {
    await start();
    broker.publish(1);
    await until(() => taken.length === 1);
    expect(taken[0]).toMatchObject({ mayBeRedelivered: false, delivery: 'c:1' });
    broker.sockets[0].destroy();
    await until(() => broker.sockets.length === 2 && client.connected);
    taken[0].acknowledge();
    broker.publish(1);
    await until(() => taken.length === 2);
    expect(broker.acknowledged()).toEqual([]);
    expect(taken[1]).toMatchObject({ mayBeRedelivered: true, delivery: 'c:1' });
    taken[1].acknowledge();
    await until(() => broker.acknowledged().length === 1);
  });

  it('falls back to MQTT 3.1.1 where 5 is refused', async () => {
    broker.refuseVersion5 = true;
    await start();
    expect(broker.version).toBe(4);
    broker.publish(9);
    await until(() => taken.length === 1);
    taken[0].acknowledge();
    await until(() => broker.acknowledged().length === 1);
  });

  it('subscribes in a shared group when asked', async () => {
    await start({ sharedGroup: 'coldrounds' });
    const subscribe = broker.received.find((packet) => packet.cmd === 'subscribe');
    expect(subscribe).toMatchObject({ subscriptions: [{ topic: '$share/coldrounds/a/#', qos: 1 }] });
  });
});
