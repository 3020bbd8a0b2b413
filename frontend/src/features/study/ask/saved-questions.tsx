import { useMutation, useQueryClient } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import {
  addressOf,
  askableQuery,
  forgetQuestion,
  saveQuestion,
  type Question,
  type SavedQuestion,
} from '../../../api/study.js';
import { useMay } from '../../people/use-session.js';
import { readStudySearch } from './question-search.js';

/** The search of a saved address. */
function searchOf(question: string) {
  const parameters = new URLSearchParams(question);
  return readStudySearch(
    Object.fromEntries(
      [...new Set(parameters.keys())]
        .map((name) => [name, parameters.getAll(name)])
        .map(([name, values]) => [name, values!.length === 1 ? values![0] : values]),
    ),
  );
}

/** Questions with a name, for everyone, and a name for this one. */
export function SavedQuestions({ saved, question }: { saved: SavedQuestion[]; question: Question }) {
  const may = useMay('note');
  const [name, setName] = useState('');
  const queries = useQueryClient();
  const refresh = () => queries.invalidateQueries({ queryKey: askableQuery.queryKey });
  const saving = useMutation({
    mutationFn: saveQuestion,
    onSuccess: async () => {
      setName('');
      await refresh();
    },
  });
  const forgetting = useMutation({ mutationFn: forgetQuestion, onSuccess: refresh });
  const failed = saving.error ?? forgetting.error;
  return (
    <>
      {may && (
        <form
          className="ask-save"
          onSubmit={(event) => {
            event.preventDefault();
            if (name.trim() !== '') saving.mutate({ name: name.trim(), question: addressOf(question) });
          }}
        >
          <label>
            save as{' '}
            <input
              type="text"
              value={name}
              maxLength={120}
              onChange={({ target }) => setName(target.value)}
            />
          </label>{' '}
          <button type="submit" className="button small" disabled={saving.isPending}>
            Save
          </button>
        </form>
      )}
      {failed && <span role="alert">{failed.message}</span>}
      {saved.length > 0 && (
        <span className="ask-saved">
          saved:{' '}
          {saved.map((each) => (
            <span key={each.id} className="ask-saved-one">
              <Link
                to="/study"
                search={searchOf(each.question)}
                title={`Saved by ${each.who}`}
                resetScroll={false}
              >
                {each.name}
              </Link>
              {each.own && (
                <button
                  type="button"
                  className="button small"
                  aria-label={`Remove the question ${each.name}`}
                  onClick={() => forgetting.mutate(each.id)}
                >
                  ✕
                </button>
              )}
            </span>
          ))}
        </span>
      )}
    </>
  );
}
