import type { Span } from './span.js';

/** Told what the chart shows now, and whether more of the same gesture is to come. */
type Follow = (now: Span, moving: boolean) => void;

/**
 * What a chart shows at this moment. A gesture moves it many times a second; what follows it puts itself in its new place
 * without the page being made anew, which a slow machine could not do from one frame to the next.
 */
export class LiveSpan {
  private readonly followers = new Set<Follow>();
  private isMoving = false;

  constructor(private span: Span) {}

  get now(): Span {
    return this.span;
  }

  get moving(): boolean {
    return this.isMoving;
  }

  set(span: Span, moving: boolean): void {
    this.span = span;
    this.isMoving = moving;
    for (const follow of this.followers) follow(span, moving);
  }

  /** Tells of each change from now on; what it answers ends that. */
  follow(follow: Follow): () => void {
    this.followers.add(follow);
    return () => void this.followers.delete(follow);
  }
}
