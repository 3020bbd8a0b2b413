export function BriefPage() {
  return <h1>BriefPage</h1>;
}
