import type { Span } from '../../span.js';
import { beyond, isUsedUp, placing, widened } from './moved-picture.js';
import { Turns } from './turns.js';

/** A gesture has come to rest when nothing has moved for this long, ms. */
export const still_ms = 120;
/** More pixels than two for one of the page cannot be told apart, and cost time and memory. */
const mostDense = 2;

export interface Subject {
  /** Paints a stretch of time on an empty canvas of so many pixels. */
  paint: (canvas: CanvasRenderingContext2D, span: Span, width: number) => void;
  /** How far the readings reach. */
  known: Span;
  /** Size of the window that the picture is seen through, px. */
  width: number;
  height: number;
}

/** What a picture is of, and its size, px. */
interface Drawn {
  span: Span;
  width: number;
  height: number;
}

/**
 * Draws what a window shows and keeps it in its place. A drawing costs many frames on a slow machine, so while the
 * reader moves, the picture that is there is moved and stretched by the compositor, exactly; it is drawn anew when it
 * rests, when it no longer does, or when there are other readings: in its turn (`turns.ts`), and only the newest.
 */
export class PicturePainter {
  private subject: Subject | null = null;
  private shown: Span | null = null;
  private drawn: Drawn | null = null;
  /** A drawing is on its way. */
  private due = false;
  private timer: ReturnType<typeof setTimeout> | undefined;
  /** Pixels of the canvas to one of the page. */
  private dense = 0;

  constructor(
    private readonly element: HTMLCanvasElement,
    /** Shared with the pictures of the other panels. */
    private readonly turns = new Turns(),
  ) {}

  /** Other readings, another look or another size. */
  take(subject: Subject): void {
    this.subject = subject;
    this.drawSoon();
  }

  /** Moves the picture over; where `moving`, more of the same is to come. */
  show(span: Span, moving: boolean): void {
    this.shown = span;
    if (!this.subject || !this.drawn) return this.drawSoon();
    const stretch = this.place(this.drawn, span, this.subject.width);
    if (this.due) return;
    if (isUsedUp(this.drawn.span, stretch, span, this.subject.known)) return this.drawSoon();
    clearTimeout(this.timer);
    // What was only moved is as sharp as before.
    if (stretch === 1) return;
    if (!moving) return this.drawSoon();
    this.timer = setTimeout(() => this.drawSoon(), still_ms);
  }

  stop(): void {
    clearTimeout(this.timer);
    this.turns.leave(this.draw);
  }

  private drawSoon(): void {
    this.due = true;
    clearTimeout(this.timer);
    this.turns.ask(this.draw);
  }

  private readonly draw = (): void => {
    const { subject, shown } = this;
    this.due = false;
    if (!subject || !shown || subject.width <= 0) return;
    // Whole pixels, so that the picture is not drawn between them.
    const margin = Math.round(subject.width * beyond);
    const width = subject.width + 2 * margin;
    const span = widened(shown, margin / subject.width);
    const { height } = subject;
    const canvas = this.emptied(width, height);
    if (canvas === null) return;
    subject.paint(canvas, span, width);
    this.drawn = { span, width, height };
    this.place(this.drawn, shown, subject.width);
  };

  /** The canvas in its size, with nothing on it; null where there are no canvases to paint on. */
  private emptied(width: number, height: number): CanvasRenderingContext2D | null {
    const { element } = this;
    const canvas = element.getContext('2d');
    if (canvas === null) return null;
    const dense = Math.min(window.devicePixelRatio, mostDense);
    // A canvas whose size is set is made anew, which takes longer than to wipe it.
    if (this.drawn?.width !== width || this.drawn.height !== height || this.dense !== dense) {
      this.dense = dense;
      element.style.width = `${width}px`;
      element.style.height = `${height}px`;
      element.width = width * dense;
      element.height = height * dense;
    }
    canvas.setTransform(dense, 0, 0, dense, 0, 0);
    canvas.clearRect(0, 0, width, height);
    return canvas;
  }

  /** Puts the picture where it belongs; answers how far it is stretched. */
  private place(drawn: Drawn, shown: Span, width: number): number {
    const { shift, stretch } = placing(drawn.span, drawn.width, shown, width);
    const moved = Math.abs(stretch - 1) < 1e-6;
    // Between whole pixels the lines would be blurred.
    this.element.style.transform = moved
      ? `translateX(${Math.round(shift)}px)`
      : `translateX(${shift}px) scaleX(${stretch})`;
    return moved ? 1 : stretch;
  }
}
