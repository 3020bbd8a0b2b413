// The certificate library needs it to be there first.
import 'reflect-metadata';
import { webcrypto } from 'node:crypto';
import * as x509 from '@peculiar/x509';

x509.cryptoProvider.set(webcrypto as never);
const algorithm = { name: 'ECDSA', namedCurve: 'P-256', hash: 'SHA-256' } as const;

export interface Issued {
  certificate: string;
  key: string;
}

export interface Authority {
  /** To be trusted, PEM. */
  certificate: string;
  /** A certificate for this machine, `localhost` and 127.0.0.1. */
  issue: () => Promise<Issued>;
}

const validity = () => ({
  notBefore: new Date(Date.now() - 86_400_000),
  notAfter: new Date(Date.now() + 86_400_000),
});

const pem = async (key: webcrypto.CryptoKey): Promise<string> =>
  x509.PemConverter.encode(await webcrypto.subtle.exportKey('pkcs8', key), 'PRIVATE KEY');

/** A certificate authority as an operator may have one of their own; its certificates are valid for a day. */
export async function certificateAuthority(name: string): Promise<Authority> {
  const keys = await webcrypto.subtle.generateKey(algorithm, true, ['sign', 'verify']);
  const root = await x509.X509CertificateGenerator.createSelfSigned({
    ...{ name: `CN=${name}`, serialNumber: '01', signingAlgorithm: algorithm, keys },
    ...validity(),
    extensions: [
      new x509.BasicConstraintsExtension(true, 0, true),
      new x509.KeyUsagesExtension(x509.KeyUsageFlags.keyCertSign | x509.KeyUsageFlags.cRLSign, true),
    ],
  });
  let issued = 1;
  return {
    certificate: root.toString('pem'),
    issue: async () => {
      const own = await webcrypto.subtle.generateKey(algorithm, true, ['sign', 'verify']);
      const certificate = await x509.X509CertificateGenerator.create({
        ...{
          subject: 'CN=localhost',
          issuer: root.subject,
          serialNumber: (++issued).toString(16).padStart(2, '0'),
        },
        ...{ publicKey: own.publicKey, signingKey: keys.privateKey, signingAlgorithm: algorithm },
        ...validity(),
        extensions: [
          new x509.SubjectAlternativeNameExtension([
            { type: 'dns', value: 'localhost' },
            { type: 'ip', value: '127.0.0.1' },
          ]),
        ],
      });
      return { certificate: certificate.toString('pem'), key: await pem(own.privateKey) };
    },
  };
}
