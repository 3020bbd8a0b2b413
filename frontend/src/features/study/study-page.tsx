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
        Cohorts compared: how circuits behave by what they are made of, and how backup modules age. Every
        figure is from telemetry; each table can be taken away as CSV.
      </p>
      <CircuitStudy />
      <BackupStudy />
    </>
  );
}
