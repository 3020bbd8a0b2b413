import yauzl from 'yauzl';

/** A workbook that says it is, or turns out to be, larger than it may be once it is unpacked. */
export class TooLargeUnpackedError extends Error {
  override name = 'TooLargeUnpackedError';
}

/**
 * Refuses an archive whose entries are too large together. First by what its directory says, before anything is unpacked;
 * then each entry is unpacked as a stream and thrown away, and given up as soon as it is larger than the directory said.
 */
export async function requireUnpackedSize(content: Buffer, most_bytes: number): Promise<void> {
  const archive = await opened(content);
  try {
    const entries = await entriesOf(archive, most_bytes);
    for (const entry of entries) await unpack(archive, entry);
  } finally {
    archive.close();
  }
}

const opened = (content: Buffer): Promise<yauzl.ZipFile> =>
  new Promise((resolve, reject) =>
    yauzl.fromBuffer(content, { lazyEntries: true, validateEntrySizes: true }, (error, archive) =>
      error ? reject(error) : resolve(archive),
    ),
  );

function entriesOf(archive: yauzl.ZipFile, most_bytes: number): Promise<yauzl.Entry[]> {
  return new Promise((resolve, reject) => {
    const entries: yauzl.Entry[] = [];
    let sum = 0;
    archive.on('error', reject);
    archive.on('end', () => resolve(entries));
    archive.on('entry', (entry: yauzl.Entry) => {
      sum += entry.uncompressedSize;
      if (sum > most_bytes) return reject(new TooLargeUnpackedError());
      entries.push(entry);
      archive.readEntry();
    });
    archive.readEntry();
  });
}

const unpack = (archive: yauzl.ZipFile, entry: yauzl.Entry): Promise<void> =>
  new Promise((resolve, reject) =>
    archive.openReadStream(entry, (error, stream) => {
      if (error) return reject(error);
      stream.on('error', () => {
        stream.destroy();
        reject(new TooLargeUnpackedError());
      });
      stream.on('end', resolve);
      stream.resume();
    }),
  );
