// Made by make-tables.py; do not edit.
import { r134a } from './r134a.js';
import { r1234zee } from './r1234zee.js';
import { r1234yf } from './r1234yf.js';
import { r32 } from './r32.js';
import { r1233zde } from './r1233zde.js';
import { r22 } from './r22.js';
import { r123 } from './r123.js';
import { r245fa } from './r245fa.js';
import { r290 } from './r290.js';
import { r717 } from './r717.js';
import { r744 } from './r744.js';
import { r410a } from './r410a.js';
import { r454b } from './r454b.js';
import { r452b } from './r452b.js';
import { r513a } from './r513a.js';
import { r515b } from './r515b.js';
import { r450a } from './r450a.js';
import { r407c } from './r407c.js';
import { r448a } from './r448a.js';
import { r449a } from './r449a.js';
import { r454c } from './r454c.js';
import { r404a } from './r404a.js';
import type { FluidTable } from '../fluid-table.js';

export const fluidTables: readonly FluidTable[] = [
  r134a,
  r1234zee,
  r1234yf,
  r32,
  r1233zde,
  r22,
  r123,
  r245fa,
  r290,
  r717,
  r744,
  r410a,
  r454b,
  r452b,
  r513a,
  r515b,
  r450a,
  r407c,
  r448a,
  r449a,
  r454c,
  r404a,
];
