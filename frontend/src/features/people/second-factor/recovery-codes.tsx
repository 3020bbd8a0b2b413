/** Recovery codes, which are shown once. */
export function RecoveryCodes({ codes }: { codes: readonly string[] }) {
  return (
    <div className="notice" role="status">
      <p>
        Recovery codes, shown only now. Each signs you in once without the authenticator: keep them where you
        keep keys.
      </p>
      <ul className="recovery-codes">
        {codes.map((code) => (
          <li key={code}>
            <code>{code}</code>
          </li>
        ))}
      </ul>
    </div>
  );
}
