import { useEffect, useState } from 'react';

/** A value as it was when it last stayed the same for a moment: not every letter typed is worth a question. */
export function useSettled<Value>(value: Value, key: string, pause_ms = 350): Value {
  const [settled, setSettled] = useState(value);
  useEffect(() => {
    const timer = setTimeout(() => setSettled(value), pause_ms);
    return () => clearTimeout(timer);
    // The key stands for the value: an equal one made anew starts nothing.
  }, [key, pause_ms]);
  return settled;
}
