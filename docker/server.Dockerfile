FROM node:20-bookworm-slim AS build
WORKDIR /app
COPY package.json package-lock.json tsconfig.base.json ./
COPY backend/core/package.json backend/core/
COPY backend/server/package.json backend/server/
COPY frontend/package.json frontend/
COPY simulator/package.json simulator/
COPY tests/package.json tests/
RUN npm ci --no-audit --no-fund
COPY backend backend
COPY frontend frontend
RUN npx tsc -b backend/server && npm run build -w frontend && npm prune --omit=dev

FROM node:20-bookworm-slim
ENV NODE_ENV=production STATIC_DIR=/app/frontend/dist
WORKDIR /app
COPY --from=build /app/package.json ./
COPY --from=build /app/node_modules node_modules
COPY --from=build /app/backend backend
COPY --from=build /app/frontend/dist frontend/dist
COPY seeds/fleet.json seeds/fleet.json
# Keys of gateways are handed to the broker here (MOSQUITTO_FILES).
RUN mkdir /keys && chown node:node /keys
USER node
EXPOSE 8080
# Room for what judging needs for a moment only: see `nodeArgsOfServer`.
CMD ["node", "--max-semi-space-size=64", "backend/server/dist/bin/serve.js"]
