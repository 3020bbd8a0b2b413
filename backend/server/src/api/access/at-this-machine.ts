import type { Request } from 'express';
import { isLoopback } from '../../config/index.js';

/** Where the server listens and what it is called outside. */
export class Place {
  /**
   * @param loopback it listens on a loopback address only
   * @param publicUrl address under which browsers reach it, where that is not the one it listens on
   */
  constructor(
    readonly loopback: boolean,
    readonly publicUrl?: string,
  ) {}
}

const hostName = (host: string): string => host.replace(/:\d+$/, '').toLowerCase();

/**
 * Whether a request comes straight from this machine. Besides the address of the sender the name that it asked for must
 * be this machine's, or a page elsewhere could point a name of its own here; and no proxy may stand between, or
 * whoever comes through it would be taken for somebody at this machine.
 */
export function isAtThisMachine(request: Request, place: Place): boolean {
  const { headers, socket } = request;
  const forwarded = headers.forwarded ?? headers['x-forwarded-for'] ?? headers['x-real-ip'] ?? headers.via;
  const sender = (socket.remoteAddress ?? '').replace(/^::ffff:/, '');
  return (
    place.loopback &&
    forwarded === undefined &&
    isLoopback(sender) &&
    isLoopback(hostName(headers.host ?? ''))
  );
}
