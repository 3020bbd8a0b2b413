import './problem.css';

/** What must be minded before anyone goes near: above everything else that is said of the problem. */
export const ProblemCautions = ({ cautions }: { cautions: readonly string[] }) =>
  cautions.length === 0 ? null : (
    <ul className="problem-cautions" aria-label="Cautions of this problem">
      {cautions.map((caution) => (
        <li key={caution} className="problem-caution">
          {caution}
        </li>
      ))}
    </ul>
  );
