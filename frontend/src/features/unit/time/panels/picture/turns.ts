/**
 * After drawings that were slow, this many times as long as they took belongs to the reader: a slow machine would else draw
 * after each step, and every step would come later still.
 */
const pause = 2;
/** From one frame to the next, ms: a drawing that is on the screen by then took nothing from the reader. */
const frame_ms = 17;

type Draw = () => void;

/**
 * Lets the pictures of several panels be drawn in turns, one a frame, so that what the reader does meanwhile waits for one
 * drawing at most. Each has one turn, then all rest as long as their slowness asks for.
 */
export class Turns {
  /** Who wants a turn, in the order of asking. */
  private readonly asking = new Set<Draw>();
  /** Who had one since the last rest. */
  private readonly had = new Set<Draw>();
  private onItsWay = false;
  private resting = false;
  /** When the drawing began that is not known to be on the screen yet, ms. */
  private begun_ms: number | null = null;
  private spent_ms = 0;

  /** Asks for a turn; whoever asks again before it has come gets one. */
  ask(draw: Draw): void {
    this.asking.add(draw);
    this.atNextFrame();
  }

  /** Gives up the turn that was asked for. */
  leave(draw: Draw): void {
    this.asking.delete(draw);
  }

  private atNextFrame(): void {
    if (this.onItsWay || this.resting) return;
    this.onItsWay = true;
    requestAnimationFrame(() => {
      this.onItsWay = false;
      this.turn();
    });
  }

  private turn(): void {
    if (this.begun_ms !== null) {
      // By now it is on the screen, or what comes after it waits for that.
      this.spent_ms += Math.max(0, performance.now() - this.begun_ms - frame_ms);
      this.begun_ms = null;
    }
    const next = [...this.asking].find((draw) => !this.had.has(draw));
    if (next === undefined) return this.rest();
    this.asking.delete(next);
    this.had.add(next);
    this.begun_ms = performance.now();
    next();
    this.atNextFrame();
  }

  private rest(): void {
    const rest_ms = pause * this.spent_ms;
    this.had.clear();
    this.spent_ms = 0;
    if (rest_ms > 0) {
      this.resting = true;
      setTimeout(() => {
        this.resting = false;
        if (this.asking.size > 0) this.atNextFrame();
      }, rest_ms);
    } else if (this.asking.size > 0) this.turn();
  }
}
