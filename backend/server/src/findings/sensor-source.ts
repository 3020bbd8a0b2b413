/** Under which the findings on the sensors of a circuit, by its id in the store, are kept. */
export const sensorSource = ({ id }: { id: number }): string => `sensors/${id}`;
