import { createServer, type Server, type Socket } from 'node:net';
import {
  createServer as createTlsServer,
  type SecureContextOptions,
  type Server as TlsServer,
} from 'node:tls';
import type { Aedes } from 'aedes';
import { isLoopback } from '../../config/index.js';
import { StartError } from '../start-error.js';
import type { Admission } from './admission.js';
import { WaitingConnections } from './waiting-connections.js';

interface Place {
  port: number;
  host: string;
  /** Setting to change where the port is taken. */
  variable: string;
}

/** Where a connection comes from, as a person writes it. */
const addressOf = ({ remoteAddress }: Socket): string =>
  (remoteAddress ?? 'an unknown address').replace(/^::ffff:/, '');

/** The same for a connection and for what TLS makes of it. */
const nameOf = ({ remoteAddress, remotePort }: Socket): string => `${remoteAddress} ${remotePort}`;

/** Ports of the broker, with and without TLS. */
export class Doors {
  private readonly servers: Server[] = [];
  private readonly sockets = new Set<Socket>();
  private readonly waiting = new WaitingConnections();
  private readonly leaves = new Map<string, () => void>();

  constructor(
    private readonly aedes: Aedes,
    private readonly admission: Admission,
  ) {}

  open(place: Place): Promise<Server>;
  open(place: Place, certificate: SecureContextOptions): Promise<TlsServer>;
  async open(place: Place, certificate?: SecureContextOptions): Promise<Server> {
    const open = isLoopback(place.host);
    const arrive = (socket: Socket) => {
      const client = this.admission.arrive(socket, { address: addressOf(socket), open });
      client.on('connected', () => this.leaves.get(nameOf(socket))?.());
    };
    const server =
      certificate === undefined
        ? createServer(arrive)
        : createTlsServer({ ...certificate, handshakeTimeout: 10_000 }, arrive);
    server.prependListener('connection', (socket: Socket) => this.count(socket));
    // A client that does not speak TLS, or does not trust the certificate, is its own matter.
    server.on('tlsClientError', (_, socket: Socket) => socket.destroy());
    await listenAt(server, place);
    this.servers.push(server);
    return server;
  }

  /** Ends every connection: those that the broker has let in by itself, then the rest. */
  async close(): Promise<void> {
    const ended = this.servers.map((server) => new Promise<void>((done) => server.close(() => done())));
    await new Promise<void>((done) => this.aedes.close(() => done()));
    for (const socket of this.sockets) socket.destroy();
    await Promise.all(ended);
  }

  /** A connection is only taken while not too many of its address wait to be let in. */
  private count(socket: Socket): void {
    const leave = this.waiting.enter(addressOf(socket));
    if (leave === null) {
      socket.destroy();
      return;
    }
    const name = nameOf(socket);
    this.sockets.add(socket);
    this.leaves.set(name, leave);
    socket.once('close', () => {
      leave();
      this.leaves.delete(name);
      this.sockets.delete(socket);
    });
  }
}

async function listenAt(server: Server, { port, host, variable }: Place): Promise<void> {
  await new Promise<void>((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      reject(
        error.code === 'EADDRINUSE'
          ? new StartError(`Port ${port} for MQTT is in use. Set ${variable} to a free port.`)
          : error,
      );
    });
    server.listen(port, host, resolve);
  });
}
