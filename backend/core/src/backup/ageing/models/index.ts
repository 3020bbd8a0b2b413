export { type Axis, bent, doublings, straightened } from './ageing-courses.js';
export { modelOf, pick } from './course-models.js';
export { type PaceChange, paceChangeOf } from './pace-change.js';
export { type MeasuredLevels, weighCourses } from './weigh-courses.js';
