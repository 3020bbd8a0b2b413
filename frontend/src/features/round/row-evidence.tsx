import type { RoundUnit } from '../../api/types.js';
import { usePreferences } from '../../app/preferences.js';
import { Spark } from '../../components/spark.js';
import { show } from '../../quantities/format-quantity.js';
import type { UnitSystem } from '../../quantities/unit-system.js';

const between = (kind: string, units: UnitSystem) => (low: number, high: number) => {
  const [a, b] = [show(low, kind, units), show(high, kind, units)];
  return a === b ? a : `${a.replace(/ [^ ]+$/, '')} to ${b}`;
};

/** What the headline speaks of, drawn small: a circuit's superheat and opening, or a module's reserve. */
export function RowEvidence({ row }: { row: RoundUnit }) {
  const { units } = usePreferences();
  const about = row.findings[0]?.subject;
  const module =
    about?.kind === 'module' ? row.moduleEvidence.find((entry) => entry.module === about.module) : undefined;
  const circuit =
    row.evidence.find((entry) => about && 'circuit' in about && entry.circuit === about.circuit) ??
    row.evidence[0];
  if (!module && !circuit) return <div />;
  return (
    <aside className="row-evidence" aria-label="Evidence, drawn small">
      {module && (
        <Spark
          time_s={module.time_s}
          value={module.reserve}
          label={`Closing reserve, module ${module.module}`}
          range={between('ratio', units)}
          limit={1}
          tone={3}
        />
      )}
      {circuit && (
        <>
          <Spark
            time_s={circuit.time_s}
            value={circuit.superheat_K}
            label={`Superheat, circuit ${circuit.circuit}`}
            range={between('temperature-difference', units)}
            limit={circuit.floodbackLimit_K}
            gap_s={3600}
          />
          {!module && (
            <Spark
              time_s={circuit.time_s}
              value={circuit.valveOpening_pct}
              label={`Opening, circuit ${circuit.circuit}`}
              range={between('percent-opening', units)}
              tone={2}
              gap_s={3600}
            />
          )}
        </>
      )}
    </aside>
  );
}
