export function FleetPage() {
  return <h1>FleetPage</h1>;
}
