import { Option } from 'commander';

/** Options of every command that reads a logger's file. */
export const datesOption = (): Option =>
  new Option('--dates <order>', 'day or month first, where the log writes both as numbers').choices([
    'dmy',
    'mdy',
  ]);
export const columnsOption = (): Option =>
  new Option(
    '--columns <map.json>',
    'what headers mean: {"P1": "suction_pressure_barg", "Alarm": null}; null leaves a column out',
  );
