export function UnreadPage() {
  return <h1>UnreadPage</h1>;
}
