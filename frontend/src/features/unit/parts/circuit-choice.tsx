export interface Choice {
  circuits: number[];
  chosen: number;
  choose(circuit: number): void;
}

/** Which circuit the section shows; one choice for the whole page. */
export function CircuitChoice({ circuits, chosen, choose }: Choice) {
  if (circuits.length < 2) return null;
  return (
    <div className="choice" role="group" aria-label="Circuit">
      {circuits.map((circuit) => (
        <button
          key={circuit}
          type="button"
          className="button small"
          aria-pressed={circuit === chosen}
          onClick={() => choose(circuit)}
        >
          Circuit {circuit}
        </button>
      ))}
    </div>
  );
}
