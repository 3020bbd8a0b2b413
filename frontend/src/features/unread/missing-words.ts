import type { MissingTelemetry } from '../../api/types.js';
import { count, decimals } from '../../quantities/format-quantity.js';

/** What the last day lacks, as sentences; empty where nothing does. */
export function missingWords(missing: MissingTelemetry): string[] {
  const sentences: string[] = [];
  for (const { broker, lost } of missing.messagesLost)
    sentences.push(
      `The broker ${broker} dropped ${decimals(lost, 0)} messages because one of its queues was full. That telemetry is lost. Raise the limits of its queues (Mosquitto: max_queued_messages 1000000000, max_queued_bytes 0).`,
    );
  if (missing.samples > 0)
    sentences.push(
      `In the last 24 hours at least ${decimals(missing.samples, 0)} samples of ${count(missing.units, 'unit')} did not come, although the unit sends at an even interval before and after. They were lost at the gateway, on the way or in the broker.`,
    );
  const { windows, closings, circuits, modules } = missing.notJudged;
  const failed = [
    windows > 0 && count(windows, 'window'),
    closings > 0 && count(closings, 'closing'),
    circuits > 0 && count(circuits, 'circuit'),
    modules > 0 && count(modules, 'module'),
  ].filter((words) => words !== false);
  if (failed.length > 0)
    sentences.push(
      `Not judged because the judgement fails: ${failed.join(', ')}. The pages of the units give the reasons.`,
    );
  return sentences;
}
