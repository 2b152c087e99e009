import 'uplot/dist/uPlot.min.css';
import './styles/tokens.css';
import './styles/base.css';
import { mount } from 'svelte';
import App from './App.svelte';
import { store } from './state/bench.svelte';
import { events } from './state/events.svelte';
import { listen } from './state/keys.svelte';

const target = document.getElementById('page');
if (target === null) throw new Error('SweepRig bug: the page has no place to stand');
mount(App, { target });
listen();
store.start();
events.listen();
