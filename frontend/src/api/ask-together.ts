/**
 * Gathers what is asked for within 20 ms and asks once for all of it, `most` at a time. Each asker gets its own answer,
 * null where none is among them.
 */
export function askTogether<Answer>(
  most: number,
  answersOf: (keys: string[]) => Promise<ReadonlyMap<string, Answer>>,
): (key: string) => Promise<Answer | null> {
  let waiting: { key: string; tell: (answer: Answer | null) => void; fail: (error: Error) => void }[] = [];
  const ask = () => {
    const asked = waiting;
    waiting = [];
    for (let from = 0; from < asked.length; from += most) {
      const some = asked.slice(from, from + most);
      answersOf([...new Set(some.map(({ key }) => key))]).then(
        (answers) => some.forEach(({ key, tell }) => tell(answers.get(key) ?? null)),
        (error: Error) => some.forEach(({ fail }) => fail(error)),
      );
    }
  };
  return (key) =>
    new Promise((tell, fail) => {
      waiting.push({ key, tell, fail });
      if (waiting.length === 1) setTimeout(ask, 20);
    });
}
