FROM node:20-bookworm-slim AS build
WORKDIR /app
COPY package.json package-lock.json tsconfig.base.json ./
COPY backend/core/package.json backend/core/
COPY backend/server/package.json backend/server/
COPY frontend/package.json frontend/
COPY simulator/package.json simulator/
COPY tests/package.json tests/
RUN npm ci --no-audit --no-fund
COPY backend/core backend/core
COPY simulator simulator
RUN npx tsc -b simulator && npm prune --omit=dev

FROM node:20-bookworm-slim
ENV NODE_ENV=production
WORKDIR /app
COPY --from=build /app/package.json ./
COPY --from=build /app/node_modules node_modules
COPY --from=build /app/backend/core backend/core
COPY --from=build /app/simulator simulator
COPY seeds seeds
RUN mkdir /state && chown node:node /state
USER node
CMD ["node", "simulator/dist/main.js", "--fleet", "seeds/fleet.json", "--scenario", "seeds/scenario.json", "--state", "/state"]
