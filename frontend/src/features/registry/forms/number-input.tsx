import { useId, type ReactNode } from 'react';

interface NumberInputProps {
  words: string;
  unit: string;
  value: string;
  onChange: (value: string) => void;
  required?: boolean;
  /** What is taken where nothing is typed, as text. */
  assumed?: string | null;
  children?: ReactNode;
}

/** A number with its unit; left empty, it is not known, and the field says what is taken then. */
export function NumberInput({ words, unit, value, onChange, required, assumed, children }: NumberInputProps) {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>{words}</label>
      <span className="with-unit">
        <input
          id={id}
          inputMode="decimal"
          autoComplete="off"
          required={required ?? false}
          value={value}
          placeholder={required ? undefined : 'not known'}
          aria-describedby={`${id}-more`}
          onChange={(event) => onChange(event.target.value)}
        />
        <span>{unit}</span>
      </span>
      <div id={`${id}-more`}>
        {value === '' && assumed != null && (
          <p className="quiet small">
            taken as {assumed} {unit}
          </p>
        )}
        {children}
      </div>
    </div>
  );
}
