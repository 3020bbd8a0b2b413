import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { calendarAddressQuery, makeCalendarAddress, voidCalendarAddress } from '../../api/decisions/plan.js';
import { formatInstant } from '../../quantities/format-quantity.js';
import { FormError } from '../../components/form-error.js';

const at = (instant: string) => formatInstant(Date.parse(instant) / 1000);

/** The plan as a calendar: as a file, or at an address that a calendar program reads again and again. */
export function CalendarSection({ person, own }: { person: number; own: boolean }) {
  return (
    <section className="plan-calendar no-print" aria-labelledby="plan-calendar">
      <h2 id="plan-calendar">In a calendar</h2>
      <p>
        <a href={`/api/day-plan/calendar.ics?person=${person}`} className="button" download>
          Download as a calendar file
        </a>
      </p>
      {own && <Subscription />}
    </section>
  );
}

function Subscription() {
  const queries = useQueryClient();
  const { data } = useQuery(calendarAddressQuery);
  const refresh = () => void queries.invalidateQueries({ queryKey: calendarAddressQuery.queryKey });
  const making = useMutation({ mutationFn: makeCalendarAddress, onSuccess: refresh });
  const voiding = useMutation({
    mutationFn: voidCalendarAddress,
    onSuccess: () => {
      making.reset();
      refresh();
    },
  });
  const known = data?.address ?? null;
  return (
    <>
      <p className="plan-measure">
        A calendar program can also read your plan by itself, from an address of its own. Whoever knows that
        address can read your plan, and nothing else.
      </p>
      {making.data && (
        <p className="notice" role="status">
          The address, shown only now: <code>{`${window.location.origin}${making.data.path}`}</code>
        </p>
      )}
      {known !== null && (
        <p className="small quiet">
          There is an address, made {at(known.madeAt)},{' '}
          {known.usedAt === null ? 'not read yet' : `last read ${at(known.usedAt)}`}.
        </p>
      )}
      <FormError why={(making.error ?? voiding.error)?.message} />
      <div className="plan-spans">
        <button type="button" className="button" disabled={making.isPending} onClick={() => making.mutate()}>
          {known === null ? 'Make an address' : 'Make a new address; the old one stops working'}
        </button>
        {known !== null && (
          <button type="button" className="button" onClick={() => voiding.mutate()}>
            Stop sharing it
          </button>
        )}
      </div>
    </>
  );
}
