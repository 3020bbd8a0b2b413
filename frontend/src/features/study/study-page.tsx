export function StudyPage() {
  return <h1>StudyPage</h1>;
}
