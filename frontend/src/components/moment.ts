import { createContext, useContext } from 'react';

const Context = createContext<string | undefined>(undefined);

/** The moment of the past that the page below it shows, ISO; none: the present. */
export const MomentProvider = Context.Provider;
export const useMoment = (): string | undefined => useContext(Context);
