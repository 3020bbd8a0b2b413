import mqtt from 'mqtt';

export interface Outgoing {
  topic: string;
  payload: string | Buffer;
}

/** Publishes all at QoS 1, a bounded number at once, and resolves when the broker has taken the last. */
export async function publishAll(url: string, messages: Iterable<Outgoing>, atOnce = 50): Promise<number> {
  const client = await mqtt.connectAsync(url, { clientId: `publisher-${process.pid}-${Date.now()}` });
  let count = 0;
  const source = messages[Symbol.iterator]();
  const worker = async () => {
    for (let next = source.next(); !next.done; next = source.next()) {
      await client.publishAsync(next.value.topic, next.value.payload, { qos: 1 });
      count++;
    }
  };
  await Promise.all(Array.from({ length: atOnce }, worker));
  await client.endAsync();
  return count;
}

/** A pack of `steps` time steps of a circuit, 10 s apart, as a gateway sends a backlog. */
export function circuitPack(first_s: number, steps: number, seed = 0): string {
  const records: Record<string, unknown>[] = [];
  for (let i = 0; i < steps; i++) {
    const t = i * 10;
    const wave = Math.sin((first_s + t + seed) / 300);
    records.push(
      { n: 'suction-pressure', u: 'Pa', t, v: Math.round(250_000 + 4_000 * wave) },
      { n: 'suction-temperature', u: 'Cel', t, v: Number((6 + wave).toFixed(2)) },
      { n: 'valve-opening', u: '%', t, v: Number((50 + 5 * wave).toFixed(1)) },
      { n: 'discharge-pressure', u: 'Pa', t, v: Math.round(1_150_000 + 9_000 * wave) },
      { n: 'discharge-temperature', u: 'Cel', t, v: Number((60 + wave).toFixed(2)) },
      { n: 'liquid-temperature', u: 'Cel', t, v: Number((38 + wave).toFixed(2)) },
      { n: 'superheat-setpoint', u: 'K', t, v: 6 },
      { n: 'compressor-load', u: '%', t, v: Number((70 + 10 * wave).toFixed(1)) },
    );
  }
  records[0] = { bt: first_s, ...records[0] };
  return JSON.stringify(records);
}

export async function until(
  what: string,
  condition: () => Promise<boolean>,
  timeout_ms = 120_000,
): Promise<void> {
  const deadline = Date.now() + timeout_ms;
  while (!(await condition())) {
    if (Date.now() > deadline) throw new Error(`Waited ${timeout_ms / 1000} s in vain for: ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}
