export function RefrigerantsPage() {
  return <h1>RefrigerantsPage</h1>;
}
