import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import type { RegisteredSites } from '../../api/registry/registry.js';
import { Pager } from '../../components/table/pager.js';
import { count } from '../../quantities/format-quantity.js';
import { sitesWith } from './values/sites-with.js';

type Site = RegisteredSites['sites'][number];

/** As many sites as are read at once; with more of them one looks for a site by its name. */
const onePage = 50;

/** All sites, a page at a time; of many, those with the words that are looked for. */
export function SiteTable({ sites }: { sites: readonly Site[] }) {
  const [words, setWords] = useState('');
  const [page, setPage] = useState(1);
  const found = sitesWith(sites, words);
  const pages = Math.max(1, Math.ceil(found.length / onePage));
  return (
    <>
      {sites.length > onePage && (
        <search className="registry-find">
          <label>
            Site{' '}
            <input
              type="search"
              value={words}
              onChange={({ target }) => {
                setWords(target.value);
                setPage(1);
              }}
            />
          </label>{' '}
          <span className="quiet" aria-live="polite">
            {words === '' ? count(sites.length, 'site') : `${found.length} of ${count(sites.length, 'site')}`}
          </span>
        </search>
      )}
      <div className="scroll-x">
        <table>
          <thead>
            <tr>
              <th scope="col">Site</th>
              <th scope="col">In topics</th>
              <th scope="col">Units</th>
            </tr>
          </thead>
          <tbody>
            {found.slice((page - 1) * onePage, page * onePage).map(({ draft, units, retired }) => (
              <tr key={draft.key}>
                <th scope="row">
                  <Link to="/registry/$site" params={{ site: draft.key }}>
                    {draft.name}
                  </Link>
                </th>
                <td>
                  <code>{draft.key}</code>
                </td>
                <td>
                  {units}
                  {retired > 0 && (
                    <span className="quiet">, {count(retired, 'more retired', 'more retired')}</span>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <Pager page={page} pages={pages} turnTo={setPage} label="Sites" />
    </>
  );
}
