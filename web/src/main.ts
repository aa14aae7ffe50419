import { mount } from 'svelte';
import './style.css';
import App from './App.svelte';
import { takeToken } from './lib/token';

takeToken();
mount(App, { target: document.getElementById('page')! });
