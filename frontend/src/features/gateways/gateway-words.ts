import type { GatewayList, GatewayRefusal } from '../../api/registry/gateways.js';

/** What the embedded broker refused, and what to do about it. */
export function refusalWords({ reason, detail }: Pick<GatewayRefusal, 'reason' | 'detail'>): string {
  switch (reason) {
    case 'other-site':
      return `It published on ${detail}, which its key does not open. The message was not taken: correct the site in the gateway’s topics.`;
    case 'reading':
      return `It asked to read ${detail}. A gateway’s key opens publishing only.`;
    case 'wrong-password':
      return `A wrong password was given, from ${detail}.`;
    case 'revoked':
      return `The key is revoked and was used, from ${detail}.`;
    case 'mqtt-5':
      return `A client at ${detail} asked for MQTT 5, which the embedded broker does not speak. Set it to 3.1.1, also called version 4, or use Mosquitto.`;
    case 'unknown-user':
      return `A client at ${detail} gave a user that there is no key for.`;
    case 'no-key':
      return `A client at ${detail} gave no user and password.`;
  }
}

const isOfThisMachine = (address: string): boolean => {
  const host = new URL(address.replace(/^mqtts?:/, 'http:')).hostname;
  return host === 'localhost' || host === '[::1]' || host.startsWith('127.');
};

/** How gateways reach the broker, in sentences. */
export function brokerWords({ kind, listens }: GatewayList['broker']): string[] {
  if (kind === 'mosquitto')
    return [
      'Keys are written to Mosquitto’s files. It speaks MQTT 5 and 3.1.1.',
      'What Mosquitto refuses is not counted here: a wrong password is in its log as “not authorised”, a message for another site only with “log_type debug”, as “Denied PUBLISH”.',
    ];
  if (kind === 'none')
    return [
      'This server hands keys to no broker, so that they open nothing by themselves. Set MOSQUITTO_FILES to a folder that Mosquitto reads, or run “npx coldrounds gateway files FOLDER” after each change.',
    ];
  const outside = listens.filter((address) => !isOfThisMachine(address));
  return [
    `The embedded broker listens on ${listens.join(' and ')}. It speaks MQTT 3.1.1, not 5: set the gateway to 3.1.1, which some call version 4. A gateway that speaks MQTT 5 only needs Mosquitto.`,
    outside.length === 0
      ? 'It can only be reached from this machine, where no key is needed. To let gateways in, make a key, then start again with MQTT_TLS_CERT and MQTT_TLS_KEY, or with MQTT_HOST in a network that you trust.'
      : outside.some((address) => address.startsWith('mqtts:'))
        ? 'Connect gateways by TLS (mqtts): otherwise their passwords can be read on the way.'
        : 'It has no TLS: passwords can be read on the way. Set MQTT_TLS_CERT and MQTT_TLS_KEY, unless you trust the network.',
  ];
}
