import './study.css';
import { BackupStudy } from './backup-study.js';
import { CircuitStudy } from './circuit-study.js';

/** Cohorts of units compared over time, for whoever designs valves, controllers, sensors and modules. */
export function StudyPage() {
  return (
    <>
      <title>Field study – Coldrounds</title>
      <h1>Field study</h1>
      <p className="study-lead">
        Cohorts compared: how circuits behave by valve, refrigerant, firmware and climate, and how backup
        modules age. All figures come from telemetry; each table can be downloaded as CSV.
      </p>
      <CircuitStudy />
      <BackupStudy />
    </>
  );
}
