export interface Subject {
  kind: 'circuit' | 'sensor' | 'module' | 'unit';
  circuit?: number;
  module?: number;
  sensor?: string;
}

/** What a finding is about, as words: `circuit 2`, `the suction pressure of circuit 1`. */
export function subjectWords(subject: Subject): string {
  switch (subject.kind) {
    case 'circuit':
      return `circuit ${subject.circuit}`;
    case 'sensor':
      return `the ${(subject.sensor ?? 'sensor').replaceAll('-', ' ')} of circuit ${subject.circuit}`;
    case 'module':
      return `backup module ${subject.module}`;
    case 'unit':
      return 'the whole unit';
  }
}
