import type { Worker } from 'node:worker_threads';
import { NotKnownError } from '../../registry/fleet.service.js';
import type { Cell, Table } from '../export.service.js';
import type { FromThread, ToldError, ToThread } from './messages.js';
import { askedBy, NotAskedAnyMoreError } from './while-asked.js';

/** The thread that answers questions has ended before the answer. */
export class ThreadEndedError extends Error {
  override name = 'ThreadEndedError';
  constructor() {
    super('The thread that answers questions of the fleet has ended.');
  }
}

interface Waiting {
  resolve: (value: unknown) => void;
  reject: (error: Error) => void;
}

/** Errors that mean something to who asked, by their names. */
const classes: Record<string, new (message: string) => Error> = { NotKnownError };

/**
 * The thread in which questions of the fleet are worked out, so that pages are answered meanwhile. It is one, for as long as the
 * process lives, as it keeps what it has read; one that ended is started again by the next question.
 */
export class StudyThread {
  private worker: Worker | null = null;
  private readonly waiting = new Map<number, Waiting>();
  private calls = 0;
  private ending = false;

  constructor(
    private readonly parts: {
      start: () => Worker;
      /** It ended of itself. */
      failed: (error: unknown) => void;
    },
  ) {}

  /** Has it ready before the first question. */
  start(): void {
    if (this.worker !== null || this.ending) return;
    const worker = this.parts.start();
    this.worker = worker;
    worker.on('message', (message: FromThread) => this.hear(message));
    worker.on('error', this.parts.failed);
    worker.on('exit', () => {
      if (this.worker === worker) this.worker = null;
      for (const { reject } of this.waiting.values()) reject(new ThreadEndedError());
      this.waiting.clear();
    });
  }

  async stop(): Promise<void> {
    this.ending = true;
    const { worker } = this;
    if (worker === null) return;
    const ended = new Promise((resolve) => worker.once('exit', resolve));
    this.tell({ kind: 'end' });
    await ended;
  }

  /** A service of the thread, with these of its methods. */
  service<Service, Method extends keyof Service & string>(
    name: string,
    methods: readonly Method[],
  ): Pick<Service, Method> {
    return Object.fromEntries(
      methods.map((method) => [method, (...args: unknown[]) => this.call(name, method, args)]),
    ) as unknown as Pick<Service, Method>;
  }

  private async call(service: string, method: string, args: unknown[]): Promise<unknown> {
    this.start();
    const id = ++this.calls;
    const leaves = askedBy();
    if (leaves?.aborted) throw new NotAskedAnyMoreError();
    const cancel = () => this.cancel(id);
    leaves?.addEventListener('abort', cancel);
    try {
      return await this.answer({ kind: 'call', id, service, method, args });
    } finally {
      leaves?.removeEventListener('abort', cancel);
    }
  }

  private answer(message: Exclude<ToThread, { kind: 'end' }>): Promise<unknown> {
    if (this.worker === null) return Promise.reject(new ThreadEndedError());
    return new Promise((resolve, reject) => {
      this.waiting.set(message.id, { resolve, reject });
      this.tell(message);
    });
  }

  private tell(message: ToThread): void {
    this.worker?.postMessage(message);
  }

  private cancel(id: number): void {
    this.waiting.get(id)?.reject(new NotAskedAnyMoreError());
    this.waiting.delete(id);
    this.tell({ kind: 'cancel', id });
  }

  private hear(message: FromThread): void {
    const waiting = this.waiting.get(message.id);
    // Who asked has left.
    if (waiting === undefined) return;
    this.waiting.delete(message.id);
    switch (message.kind) {
      case 'answer':
        return waiting.resolve(message.value);
      case 'table': {
        const { id, name, columns } = message;
        return waiting.resolve({ name, columns, rows: this.rows(id) } satisfies Table);
      }
      case 'rows':
        return waiting.resolve(message);
      case 'error':
        return waiting.reject(errorOf(message.error));
    }
  }

  private async *rows(id: number): AsyncGenerator<Cell[]> {
    let done = false;
    try {
      while (!done) {
        const next = (await this.answer({ kind: 'more', id })) as Extract<FromThread, { kind: 'rows' }>;
        done = next.done;
        yield* next.rows as Cell[][];
      }
    } finally {
      if (!done) this.cancel(id);
    }
  }
}

function errorOf({ name, message, stack, code }: ToldError): Error {
  const error = new (classes[name] ?? Error)(message);
  return Object.assign(error, { name, stack: stack ?? error.stack, ...(code === undefined ? {} : { code }) });
}
