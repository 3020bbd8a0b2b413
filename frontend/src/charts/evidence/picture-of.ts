import type { components } from '../../api/schema.js';
import { departurePicture } from './circuit/departure.js';
import { distributionPicture } from './circuit/distribution.js';
import { overLoadPicture } from './circuit/over-load.js';
import { stopsPicture } from './circuit/stops.js';
import { swingPicture } from './circuit/swing.js';
import { wearPicture } from './circuit/wear.js';
import { closingPicture } from './module/closing.js';
import { dischargePicture } from './module/discharge.js';
import { powerLossPicture } from './module/power-loss.js';
import { reservePicture } from './module/reserve.js';
import { restingPicture } from './module/resting.js';
import type { Picture, Reader } from './picture.js';
import { betweenCircuitsPicture } from './sensor/between-circuits.js';
import { valveAnswersPicture } from './sensor/valve-answers.js';
import { signalPicture } from './sensor/signal.js';
import { standstillPicture } from './sensor/standstill.js';
import { startPicture } from './sensor/start.js';
import { silencePicture } from './silence.js';

type FindingEvidence = components['schemas']['FindingEvidence'];

/** The picture of a finding's evidence; null where there is nothing to draw. */
export function pictureOf({ data, ...claim }: FindingEvidence, reader: Reader): Picture | null {
  switch (data.kind) {
    case 'swing':
      return swingPicture(data, reader);
    case 'distribution':
      return distributionPicture(data, reader);
    case 'over-load':
      return overLoadPicture(data, reader, claim);
    case 'departure':
      return departurePicture(data, reader);
    case 'wear':
      return wearPicture(data, reader, claim);
    case 'standstill':
      return standstillPicture(data, reader, claim);
    case 'start':
      return startPicture(data, reader);
    case 'signal':
      return signalPicture(data, reader, claim);
    case 'stops':
      return stopsPicture(data, reader);
    case 'between-circuits':
      return betweenCircuitsPicture(data, reader);
    case 'valve-answers':
      return valveAnswersPicture(data, reader, claim);
    case 'discharge':
      return dischargePicture(data, reader);
    case 'reserve':
      return reservePicture(data, reader);
    case 'closing':
      return closingPicture(data, reader);
    case 'power-loss':
      return powerLossPicture(data, reader);
    case 'resting':
      return restingPicture(data, reader, claim);
    case 'silence':
      return silencePicture(data, reader);
    case 'none':
      return null;
  }
}
