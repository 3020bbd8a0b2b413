import './words.css';
import { PageTitle } from '../../components/page-title.js';
import { Cautions } from '../../components/cautions.js';
import { UrgencyWord, urgencies } from '../../components/urgency/urgency.js';

const urgencyMeaning = {
  today: 'someone should act before the day is over',
  'this-week': 'plan a visit or a remote change within days',
  'next-visit': 'do it when someone is there anyway',
  watch: 'nothing to do yet; Coldrounds keeps watching it',
};

const words: [string, string][] = [
  [
    'Superheat',
    'How much warmer the gas leaving the evaporator is than its dew temperature at that pressure. Too low, and liquid can reach the compressor; too high, and part of the evaporator does no work.',
  ],
  [
    'Subcooling',
    'How much colder the liquid before the valve is than its bubble temperature at that pressure.',
  ],
  [
    'Dew and bubble point, glide',
    'Where vapour begins to condense and where liquid begins to boil. For blends the two differ; the difference is the glide. Superheat is taken from the dew side, subcooling from the bubble side, always.',
  ],
  [
    'Floodback',
    'Liquid refrigerant reaching the compressor. The floodback limit is the superheat under which that becomes likely; it is a setting per circuit.',
  ],
  [
    'Hunting',
    'Superheat and valve swinging in a regular cycle instead of settling. It wears the valve and wastes energy.',
  ],
  ['Starved', 'The evaporator gets too little liquid, and superheat is far too high.'],
  [
    'Steady floor',
    'The lowest superheat that a circuit has been seen to hold steadily at a given load (in the literature: the minimum stable superheat line, Huelle). It is estimated only where enough windows support it.',
  ],
  ['Headroom', 'Superheat held, less steady floor and safety margin: what could be given back.'],
  ['Window', 'A stretch of two hours of telemetry, judged once, and again when late data arrives.'],
  [
    'Steady running',
    'The part of a window in which the circuit runs and nothing is being changed. Only this is judged for steadiness and hunting; each figure says how much of it it is based on.',
  ],
  ['Backup module', 'Supercapacitors that drive the valve shut when the mains fails.'],
  [
    'Closing reserve',
    'Usable stored energy of a backup module over the energy that one full closing needs. Under 1.0 the valve cannot be shut fully; under 1.5 the reserve is fading.',
  ],
  [
    'Proof closing',
    'A self-test or a real power loss in which the valve was seen to shut on stored energy. Without a recent one a module is unproven, never good.',
  ],
  [
    'Capacitance and ESR',
    'How much charge a capacitor holds per volt, and the resistance inside it. With age the first falls and the second rises.',
  ],
  ['Finding', 'One condition on one circuit, sensor or module, with its evidence, certainty and urgency.'],
  [
    'Round',
    'The ranked list of units that need attention, as of a moment: by urgency first, then by what waiting costs.',
  ],
  ['Visit brief', 'The page that a technician takes along, on one side of A4.'],
];

export function WordsPage() {
  return (
    <>
      <PageTitle>Glossary – Coldrounds</PageTitle>
      <h1>Glossary</h1>
      <h2 className="words-head">Urgency</h2>
      <dl className="words-urgency">
        {urgencies.map((urgency) => (
          <div key={urgency}>
            <dt>
              <UrgencyWord urgency={urgency} />
            </dt>
            <dd>{urgencyMeaning[urgency]}</dd>
          </div>
        ))}
      </dl>
      <p className="small quiet">The heavier the line beside it, the more urgent.</p>
      <h2 className="words-head">Terms</h2>
      <dl className="words">
        {words.map(([word, meaning]) => (
          <div key={word}>
            <dt>{word}</dt>
            <dd>{meaning}</dd>
          </div>
        ))}
      </dl>
      <h2 className="words-head">Keys</h2>
      <p>
        On the round, Tab to the first unit, then the arrow keys go from unit to unit; Enter opens one. On a
        calendar strip the arrow keys go from window to window, on the strip under a time chart they move its
        ends.
      </p>
      <h2 className="words-head">Cautions</h2>
      <Cautions
        hazards={['pressure', 'flammable', 'toxic', 'live-parts', 'charged-capacitor', 'rotating-parts']}
      />
    </>
  );
}
