/** The broker that keys are handed to by this process; `none`: to none, so that they open nothing by themselves. */
export interface BrokerPlace {
  kind: 'embedded' | 'mosquitto' | 'none';
  /** Addresses of the embedded broker: `mqtt://127.0.0.1:1883`, `mqtts://0.0.0.0:8883`. */
  listens: string[];
}
