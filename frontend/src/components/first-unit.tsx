import { Link } from '@tanstack/react-router';

/** Where a fleet is still empty: the way to its first unit. */
export function FirstUnit() {
  return (
    <section className="notice">
      <p>
        <strong>No unit is registered yet.</strong> It takes a few minutes:
      </p>
      <ol className="first-steps">
        <li>
          Let the gateway publish to the broker of this server; what arrives is listed under{' '}
          <Link to="/registry/heard">Heard but not known</Link>, and kept.
        </li>
        <li>
          Make its site and its unit there with one click, or by hand in the{' '}
          <Link to="/registry">registry</Link>. The nameplate is enough to begin.
        </li>
        <li>Once two hours of readings are judged, the unit is on the round.</li>
      </ol>
    </section>
  );
}
