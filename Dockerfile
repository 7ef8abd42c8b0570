# Builds once with everything, then keeps what running needs. Debian, not Alpine: the PostgreSQL packages want glibc.
FROM node:22-bookworm-slim AS build
WORKDIR /app
COPY package.json package-lock.json .npmrc ./
RUN npm ci --include=dev
COPY . .
RUN npm run build && npm prune --omit=dev --omit=optional

FROM node:22-bookworm-slim
WORKDIR /app
ENV NODE_ENV=production HOST=0.0.0.0 PORT=4400 DATA_DIR=/data
RUN mkdir /data && chown node:node /data
COPY --from=build /app/package.json ./
COPY --from=build /app/node_modules ./node_modules
COPY --from=build /app/dist ./dist
COPY --from=build /app/prisma ./prisma
COPY --from=build /app/seed ./seed
USER node
VOLUME /data
EXPOSE 4400
HEALTHCHECK --interval=10s --timeout=3s --start-period=60s CMD ["node", "-e", "fetch('http://127.0.0.1:'+process.env.PORT+'/healthz').then(r=>process.exit(r.ok?0:1),()=>process.exit(1))"]
# node itself, not npm: the stop signal must reach it.
CMD ["node", "dist/src/server/start/main.js"]
