import { encode } from 'uqr';

/** A text as a QR code (ISO/IEC 18004), black on white in light and dark. */
export function QrCode({ text, name }: { text: string; name: string }) {
  const { data, size } = encode(text, { border: 4 });
  const path = data
    .flatMap((row, y) => row.flatMap((dark, x) => (dark ? [`M${x} ${y}h1v1h-1z`] : [])))
    .join('');
  return (
    <svg role="img" aria-label={name} viewBox={`0 0 ${size} ${size}`} width="220" shapeRendering="crispEdges">
      <rect width={size} height={size} fill="#fff" />
      <path d={path} fill="#000" />
    </svg>
  );
}
