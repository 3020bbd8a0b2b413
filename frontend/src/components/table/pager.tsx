/** To the page before and after, of a list that is longer than one. */
export function Pager({
  page,
  pages,
  turnTo,
  label,
}: {
  page: number;
  pages: number;
  turnTo: (page: number) => void;
  label: string;
}) {
  if (pages <= 1) return null;
  return (
    <nav aria-label={`${label}, pages`}>
      <button type="button" className="button small" disabled={page <= 1} onClick={() => turnTo(page - 1)}>
        Previous
      </button>{' '}
      Page {page} of {pages}{' '}
      <button
        type="button"
        className="button small"
        disabled={page >= pages}
        onClick={() => turnTo(page + 1)}
      >
        Next
      </button>
    </nav>
  );
}
