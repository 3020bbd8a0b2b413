import './ask.css';
import { useQuery } from '@tanstack/react-query';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { useMemo, useRef } from 'react';
import { answerCsv, answerQuery, askableQuery, type Askable } from '../../../api/study.js';
import { Failed, Loading, TooLittle } from '../../../components/states.js';
import { Answer } from './answer.js';
import { ChangeEffect } from './change-effect.js';
import { LikeWithLike } from './like-with-like.js';
import { QuestionControls } from './question-controls.js';
import { questionOf, type StudySearch } from './question-search.js';
import { whyUnknown } from './quantity-words.js';
import { readyQuestions } from './ready-questions.js';
import { SavedQuestions } from './saved-questions.js';

/** Whatever an engineer asks of the fleet; the question is the page's address. */
export function AskSection() {
  const search = useSearch({ from: '/study' });
  const navigate = useNavigate({ from: '/study' });
  const askable = useQuery(askableQuery);
  const choose = (change: StudySearch) =>
    void navigate({ search: { ...search, ...change }, replace: true, resetScroll: false });
  return (
    <section className="study-section ask" aria-labelledby="ask">
      <h2 id="ask">Ask</h2>
      <ul className="ask-ready" aria-label="Questions to start from">
        {readyQuestions.map(({ words, search: ready }) => (
          <li key={words}>
            <Link to="/study" search={ready} resetScroll={false}>
              {words}
            </Link>
          </li>
        ))}
      </ul>
      {askable.isPending ? (
        <Loading what="what can be asked" />
      ) : askable.isError ? (
        <Failed what="what can be asked" error={askable.error} retry={() => void askable.refetch()} />
      ) : (
        <Asked askable={askable.data} search={search} choose={choose} />
      )}
    </section>
  );
}

function Asked({
  askable,
  search,
  choose,
}: {
  askable: Askable;
  search: StudySearch;
  choose: (change: StudySearch) => void;
}) {
  const question = useMemo(() => questionOf(search), [search]);
  const answer = useQuery(answerQuery(question));
  // Until the next answer is there the last one stays, with its own question: pictures differ in what they need of it.
  const answered = useRef(question);
  if (!answer.isPlaceholderData) answered.current = question;
  // The two largest are compared first.
  const groups = [...(answer.data?.distribution ?? [])]
    .filter(({ count }) => count > 0)
    .sort((a, b) => b.units - a.units)
    .map(({ group }) => group);
  return (
    <>
      <QuestionControls askable={askable} question={question} ranges={search.range} choose={choose} />
      <p className="study-tools">
        <a href={answerCsv(question)} download>
          CSV, a row for each
        </a>
        <SavedQuestions saved={askable.saved} question={question} />
      </p>
      {answer.isPending ? (
        <Loading what="the answer" />
      ) : answer.isError ? (
        <Failed what="the answer" error={answer.error} retry={() => void answer.refetch()} />
      ) : answer.data.known === 0 ? (
        <TooLittle>
          None of {answer.data.members} {question.of} has such a figure in this time.{' '}
          {whyUnknown(answered.current)}
        </TooLittle>
      ) : (
        <Answer question={answered.current} answer={answer.data} />
      )}
      {question.of !== 'sensors' && question.split !== undefined && groups.length > 1 && (
        <LikeWithLike
          question={question}
          split={question.split}
          groups={groups}
          search={search}
          choose={choose}
        />
      )}
      {question.of !== 'sensors' && <ChangeEffect question={question} search={search} choose={choose} />}
    </>
  );
}
