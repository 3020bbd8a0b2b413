import { useState } from 'react';

/** One change at a time, as what is pressed twice would be done twice; says why it was not taken. */
export function useSaving() {
  const [saving, setSaving] = useState(false);
  const [trouble, setTrouble] = useState<string | null>(null);
  const save = async (change: () => Promise<unknown>) => {
    setSaving(true);
    setTrouble(null);
    try {
      await change();
    } catch (error) {
      setTrouble((error as Error).message);
    } finally {
      setSaving(false);
    }
  };
  return { saving, trouble, setTrouble, save };
}
