/** One running state of a circuit, as its gateway would send it: gauge pressure in Pa, temperatures in Celsius. */
export interface RunningState {
  suctionPressure_Pa: number;
  suctionTemperature_C: number;
  /** Amplitude of the reading's last digits, so that no sensor looks frozen. */
  flicker_K?: number;
}

/** A pack of `steps` time steps, 10 s apart, of a circuit that runs steadily. */
export function runningPack(first_s: number, steps: number, state: RunningState): string {
  const records: Record<string, unknown>[] = [];
  const flicker_K = state.flicker_K ?? 0.05;
  for (let i = 0; i < steps; i++) {
    const t = i * 10;
    // Three values in turn, whose mean is nought.
    const turn = (i % 3) - 1;
    records.push(
      { n: 'suction-pressure', u: 'Pa', t, v: state.suctionPressure_Pa + 40 * ((i % 5) - 2) },
      { n: 'suction-temperature', u: 'Cel', t, v: state.suctionTemperature_C + flicker_K * turn },
      { n: 'valve-opening', u: '%', t, v: 48 + 0.1 * turn },
      { n: 'discharge-pressure', u: 'Pa', t, v: 1_150_000 + 150 * turn },
      { n: 'discharge-temperature', u: 'Cel', t, v: 60 + 0.1 * turn },
      { n: 'liquid-temperature', u: 'Cel', t, v: 38 + 0.05 * turn },
      { n: 'superheat-setpoint', u: 'K', t, v: 6 },
      { n: 'compressor-load', u: '%', t, v: 70 },
    );
  }
  records[0] = { bt: first_s, ...records[0] };
  return JSON.stringify(records);
}
