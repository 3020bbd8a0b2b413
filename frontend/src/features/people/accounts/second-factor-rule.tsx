import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { secondFactorRuleQuery, setSecondFactorRule, type PersonRole } from '../../../api/people.js';
import { FormError } from '../../../components/form-error.js';
import { roleWords } from '../role-words.js';

const roles = Object.keys(roleWords) as PersonRole[];

/** Roles whose accounts must have a second factor. */
export function SecondFactorRule() {
  const queries = useQueryClient();
  const rule = useQuery(secondFactorRuleQuery);
  const setting = useMutation({
    mutationFn: setSecondFactorRule,
    onSuccess: (kept) => queries.setQueryData(secondFactorRuleQuery.queryKey, kept),
  });
  if (rule.data === undefined) return null;
  const needing = rule.data.roles;
  return (
    <div className="form">
      <h2>Second factor</h2>
      <p className="quiet">
        Who has one of these roles and signs in by a password sets up a second factor before anything else.
        Programs with API tokens, and people who sign in by OpenID, are not asked.
      </p>
      <fieldset disabled={setting.isPending}>
        <legend>Needed for</legend>
        {roles.map((role) => (
          <label key={role} className="tick">
            <input
              type="checkbox"
              checked={needing.includes(role)}
              onChange={({ target }) =>
                setting.mutate(
                  target.checked ? [...needing, role] : needing.filter((other) => other !== role),
                )
              }
            />
            {roleWords[role]}
          </label>
        ))}
      </fieldset>
      <FormError why={setting.error?.message} />
    </div>
  );
}
