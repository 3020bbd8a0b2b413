/** A number of its own unit, kept once the field is left. */
export function NumberField({
  words,
  value,
  unit,
  keep,
}: {
  words: string;
  value: number | undefined;
  unit: string;
  keep: (value: number | undefined) => void;
}) {
  return (
    <label>
      {words}{' '}
      <input
        key={value}
        className="ask-number"
        type="text"
        inputMode="decimal"
        defaultValue={value === undefined ? '' : String(Number(value.toPrecision(6)))}
        onBlur={({ target }) => {
          const typed = target.value.trim().replace(',', '.');
          const next = typed === '' || !Number.isFinite(Number(typed)) ? undefined : Number(typed);
          if (next !== value) keep(next);
        }}
        onKeyDown={({ key, currentTarget }) => key === 'Enter' && currentTarget.blur()}
      />{' '}
      {unit}
    </label>
  );
}
