import './form-error.css';

/** Why a form was not taken; nothing where it was, or was not sent yet. */
export function FormError({ why }: { why: string | null | undefined }) {
  if (why === null || why === undefined) return null;
  return (
    <p className="form-error" role="alert">
      {why}
    </p>
  );
}
