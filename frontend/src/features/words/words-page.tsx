export function WordsPage() {
  return <h1>WordsPage</h1>;
}
