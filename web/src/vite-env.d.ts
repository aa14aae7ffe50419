/// <reference types="svelte" />
/// <reference types="vite/client" />
declare module 'maplibre-gl/dist/maplibre-gl-csp' {
  export * from 'maplibre-gl';
  export { default } from 'maplibre-gl';
}
