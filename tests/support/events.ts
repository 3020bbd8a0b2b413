export interface SeenEvent {
  type: string;
  data: string;
}

export interface EventListener {
  seen: SeenEvent[];
  close(): void;
}

/** Listens to server-sent events and keeps them. */
export async function listenToEvents(url: string): Promise<EventListener> {
  const ending = new AbortController();
  const response = await fetch(url, { signal: ending.signal });
  const seen: SeenEvent[] = [];
  const read = async () => {
    let text = '';
    const decoder = new TextDecoder();
    for await (const chunk of response.body!) {
      text += decoder.decode(chunk, { stream: true });
      const blocks = text.split('\n\n');
      text = blocks.pop()!;
      for (const block of blocks) {
        const field = (name: string) => new RegExp(`^${name}: ?(.*)$`, 'm').exec(block)?.[1] ?? '';
        seen.push({ type: field('event'), data: field('data') });
      }
    }
  };
  read().catch(() => {});
  return { seen, close: () => ending.abort() };
}
