import { useEffect, useId, useRef } from 'react';

interface FieldProps {
  label: string;
  value: string;
  onChange: (value: string) => void;
  type?: 'text' | 'email' | 'password' | 'number';
  autoComplete?: string;
  hint?: string;
  required?: boolean;
  /** The cursor stands in it once it appears. */
  focused?: boolean;
}

/** One line to type into, with its label above it. */
export function Field({
  label,
  value,
  onChange,
  type = 'text',
  autoComplete,
  hint,
  required = true,
  focused = false,
}: FieldProps) {
  const id = useId();
  const input = useRef<HTMLInputElement>(null);
  useEffect(() => {
    if (focused) input.current?.focus();
  }, [focused]);
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <input
        ref={input}
        id={id}
        type={type}
        value={value}
        required={required}
        autoComplete={autoComplete ?? 'off'}
        aria-describedby={hint === undefined ? undefined : `${id}-hint`}
        onChange={(event) => onChange(event.target.value)}
      />
      {hint !== undefined && (
        <p id={`${id}-hint`} className="quiet small">
          {hint}
        </p>
      )}
    </div>
  );
}

interface OwnFieldProps {
  label: string;
  value: string;
  onChange: (value: string) => void;
}

/** The password that a person has now. */
export const PasswordField = (own: OwnFieldProps) => (
  <Field {...own} type="password" autoComplete="current-password" />
);

interface CodeFieldProps extends OwnFieldProps {
  hint?: string;
  focused?: boolean;
}

/** A code of the second factor. */
export const CodeField = (own: CodeFieldProps) => <Field {...own} autoComplete="one-time-code" />;
