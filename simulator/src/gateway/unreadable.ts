import type { UnreadableMessage } from '../scenario.js';
import type { Gateway } from './gateway.js';
import { topicOf } from './link.js';
import type { Troubles } from './send.js';

/**
 * What faulty gateways send and no receiver can read: a pressure in a unit that the registry of SenML does not have, an
 * open circuit's full-scale value, and a pack that breaks off where a buffer was too small.
 */
export function unreadablePayload(message: UnreadableMessage, time_s: number): string {
  const base = `"bn":"${message.unit}/${message.stream}/","bt":${time_s}`;
  switch (message.kind) {
    case 'wrong-unit':
      return `[{${base},"n":"suction-pressure","u":"psi","v":42.7},{"n":"suction-temperature","u":"Cel","v":8.41}]`;
    case 'out-of-range':
      return `[{${base},"n":"suction-temperature","u":"Cel","v":3276.7}]`;
    case 'broken-off':
      return `[{${base},"n":"suction-pressure","u":"Pa","v":351200},{"n":"suction-temperature","u":"Cel","v":8.4`;
  }
}

/** Sends the script's unreadable messages, each from its own gateway. */
export async function sendUnreadable(gateways: readonly Gateway[], troubles: Troubles): Promise<void> {
  for (const message of troubles.scenario.unreadable) {
    const gateway = gateways.find(({ unit }) => unit.name === message.unit);
    if (!gateway) continue;
    const time_s = Math.round((troubles.now_s - message.daysAgo * 86_400) / 10) * 10;
    await gateway.link.publish(topicOf(message.unit, message.stream), unreadablePayload(message, time_s));
  }
}
