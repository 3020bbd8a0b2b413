import { keepPreviousData, queryOptions } from '@tanstack/react-query';
import { client, read } from './client.js';
import { done } from './people.js';
import type { components, paths } from './schema.js';

type Schemas = components['schemas'];
export type StudyAnswer = Schemas['StudyAnswer'];
export type Askable = Schemas['Askable'];
export type SavedQuestion = Schemas['SavedQuestion'];
export type StudyComparison = Schemas['StudyComparison'];
export type StudyChangeEffect = Schemas['StudyChangeEffect'];
export type StudySurvival = Schemas['StudySurvival'];
export type UnitPlaces = Schemas['UnitPlaces'];
export type ValveWearStudy = Schemas['ValveWearStudy'];

type Parameters = NonNullable<paths['/api/study/answer']['get']['parameters']['query']>;
export type Subject = NonNullable<Parameters['of']>;
export type Picture = NonNullable<Parameters['picture']>;
export type QuantityName = NonNullable<Parameters['quantity']>;

/** A question as the server takes it, and as the page's address has it. */
export interface Question {
  of: Subject;
  picture: Picture;
  quantity: QuantityName;
  against?: QuantityName;
  over?: number;
  split?: string;
  where?: string[];
  having?: string;
  range?: string[];
  days: number;
  to?: string;
  period?: 'week' | 'month';
}

/** The parameters of an address, each as often as it has values. */
export function addressOf(question: object): string {
  const parameters = new URLSearchParams();
  for (const [name, value] of Object.entries(question) as [string, unknown][])
    for (const each of [value].flat()) if (each !== undefined) parameters.append(name, String(each));
  return parameters.toString();
}

export const askableQuery = queryOptions({
  queryKey: ['study', 'askable'],
  queryFn: ({ signal }) => read(client.GET('/api/study/questions', { signal })),
});

export const answerQuery = (question: Question) =>
  queryOptions({
    queryKey: ['study', 'answer', question],
    queryFn: ({ signal }) => read(client.GET('/api/study/answer', { params: { query: question }, signal })),
    placeholderData: keepPreviousData,
  });

export interface Compared {
  split: string;
  first: string;
  second: string;
}

export const comparisonQuery = (question: Question, compared: Compared) =>
  queryOptions({
    queryKey: ['study', 'comparison', question, compared],
    queryFn: ({ signal }) =>
      read(client.GET('/api/study/comparison', { params: { query: { ...question, ...compared } }, signal })),
  });

export type ChangeKind = NonNullable<
  NonNullable<paths['/api/study/change-effect']['get']['parameters']['query']>['change']
>;

export interface AskedChange {
  change: ChangeKind;
  /** Only to this word. */
  became?: string | undefined;
  /** Days before and after it. */
  span: number;
}

export const changeEffectQuery = (question: Question, asked: AskedChange) =>
  queryOptions({
    queryKey: ['study', 'change', question, asked],
    queryFn: ({ signal }) =>
      read(
        client.GET('/api/study/change-effect', {
          params: { query: { ...question, ...asked } },
          signal,
        }),
      ),
    placeholderData: keepPreviousData,
  });

export type SurvivalSplit = NonNullable<
  NonNullable<paths['/api/study/survival']['get']['parameters']['query']>['split']
>;

export const survivalQuery = (split: SurvivalSplit | undefined) =>
  queryOptions({
    queryKey: ['study', 'survival', split],
    queryFn: ({ signal }) =>
      read(client.GET('/api/study/survival', { params: { query: { split } }, signal })),
    placeholderData: keepPreviousData,
  });

export const wearQuery = (days: number) =>
  queryOptions({
    queryKey: ['study', 'wear', days],
    queryFn: ({ signal }) => read(client.GET('/api/study/wear', { params: { query: { days } }, signal })),
    placeholderData: keepPreviousData,
  });
export const wearCsv = (days: number): string => `/api/study/wear.csv?${addressOf({ days })}`;

export const placesQuery = (path: { site: string; unit: string }) =>
  queryOptions({
    queryKey: ['study', 'places', path.site, path.unit],
    queryFn: ({ signal }) =>
      read(client.GET('/api/units/{site}/{unit}/places', { params: { path }, signal })),
  });

export const saveQuestion = (body: { name: string; question: string }) =>
  done(client.POST('/api/study/questions', { body }));
export const forgetQuestion = (id: number) =>
  done(client.DELETE('/api/study/questions/{id}', { params: { path: { id } } }));

export const answerCsv = (question: Question): string => `/api/study/answer.csv?${addressOf(question)}`;
