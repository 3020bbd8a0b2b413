import { readFile } from 'node:fs/promises';
import { createSecureContext, type SecureContextOptions } from 'node:tls';
import { StartError } from '../start-error.js';

/** Files with the operator's certificate, its whole chain, and the private key, both PEM. */
export interface CertificateFiles {
  certFile: string;
  keyFile: string;
}

const least = 'TLSv1.2';

/** Reads a certificate and its key, or says which setting is wrong. */
export async function readCertificate({
  certFile,
  keyFile,
}: CertificateFiles): Promise<SecureContextOptions> {
  const [cert, key] = await Promise.all([
    readFor('MQTT_TLS_CERT', certFile),
    readFor('MQTT_TLS_KEY', keyFile),
  ]);
  const context: SecureContextOptions = { cert, key, minVersion: least };
  try {
    createSecureContext(context);
  } catch (error) {
    throw new StartError(
      `MQTT_TLS_CERT and MQTT_TLS_KEY do not hold a certificate and its own private key as PEM (${(error as Error).message}).`,
    );
  }
  return context;
}

const readFor = (variable: string, path: string): Promise<Buffer> =>
  readFile(path).catch((error: NodeJS.ErrnoException) => {
    throw new StartError(`${variable} names a file that cannot be read (${error.code}).`);
  });
