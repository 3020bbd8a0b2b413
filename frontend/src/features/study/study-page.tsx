import './study.css';
import { PageTitle } from '../../components/page-title.js';
import { AskSection } from './ask/ask-section.js';
import { BackupStudy } from './backup-study.js';
import { CircuitStudy } from './circuit-study.js';
import { SurvivalStudy } from './survival-study.js';
import { WearStudy } from './wear-study.js';

/** Cohorts of units compared over time, for whoever designs valves, controllers, sensors and modules. */
export function StudyPage() {
  return (
    <>
      <PageTitle>Field study – Coldrounds</PageTitle>
      <h1>Field study</h1>
      <p className="study-lead">
        What the fleet shows: any figure against any other, by valve, refrigerant, firmware or climate, groups
        compared like with like, how valves wear, and how backup modules age and last. All figures come from
        telemetry; each table can be downloaded as CSV.
      </p>
      <AskSection />
      <CircuitStudy />
      <WearStudy />
      <BackupStudy />
      <SurvivalStudy />
    </>
  );
}
