import { connect, createServer, type AddressInfo, type Socket } from 'node:net';

export interface CuttableProxy {
  address: string;
  /** From now on nothing goes through either way, and nobody is told: as a pulled cable does it. */
  cut(): void;
  /** Drops what was cut and lets new connections through. */
  restore(): void;
  close(): Promise<void>;
}

/** A way to a server on this machine that can be cut without closing anything. */
export async function cuttableProxy(target: string): Promise<CuttableProxy> {
  const port = Number(new URL(target).port);
  const pairs = new Set<{ near: Socket; far: Socket | null }>();
  let isCut = false;
  const server = createServer((near) => {
    near.on('error', () => {});
    const far = isCut ? null : connect(port, 'localhost');
    const pair = { near, far };
    pairs.add(pair);
    near.on('close', () => {
      pairs.delete(pair);
      far?.destroy();
    });
    if (far === null) return;
    far.on('error', () => near.destroy());
    far.on('close', () => near.destroy());
    near.pipe(far);
    far.pipe(near);
  });
  await new Promise<void>((resolve) => server.listen(0, 'localhost', resolve));
  return {
    address: `http://localhost:${(server.address() as AddressInfo).port}`,
    cut() {
      isCut = true;
      for (const { near, far } of pairs) {
        near.unpipe();
        far?.unpipe();
      }
    },
    restore() {
      isCut = false;
      for (const { near, far } of pairs) {
        near.destroy();
        far?.destroy();
      }
    },
    close: () =>
      new Promise((resolve) => {
        for (const { near, far } of pairs) {
          near.destroy();
          far?.destroy();
        }
        server.close(() => resolve());
      }),
  };
}
